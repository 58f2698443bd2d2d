package slabside.helper;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.FileDescriptor;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.lang.reflect.InvocationHandler;
import java.lang.reflect.Method;
import java.lang.reflect.Proxy;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.ServiceLoader;
import org.jspecify.annotations.Nullable;
import slabside.measure.BadInput;
import slabside.plugin.AuditCheck;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Importer;
import slabside.plugin.OwnEvent;
import slabside.plugin.Progress;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/**
 * The process of one plugin: reads questions from standard input, answers on standard output, asks the host for what a plugin
 * wants to see of the studio. Ends when its input does. What the plugin prints goes to standard error.
 */
public final class Helper {
    private static final long WATCH_MS = 1_000;

    private final Wire wire;
    private final ClassLoader plugin;
    private @Nullable Offers offers;

    /** What the plugin has, found when it is first asked for. */
    private record Offers(List<Calculator> asked, List<AuditCheck> checks, List<OwnEvent> events) {
        static Offers of(ClassLoader plugin) {
            List<Calculator> asked = new ArrayList<>();
            ServiceLoader.load(Calculator.class, plugin).forEach(asked::add);
            ServiceLoader.load(Report.class, plugin).forEach(asked::add);
            ServiceLoader.load(Importer.class, plugin).forEach(asked::add);
            List<AuditCheck> checks = new ArrayList<>();
            ServiceLoader.load(AuditCheck.class, plugin).forEach(checks::add);
            List<OwnEvent> events = new ArrayList<>();
            ServiceLoader.load(OwnEvent.class, plugin).forEach(events::add);
            return new Offers(asked, checks, events);
        }
    }

    /** The host is gone, or its words cannot be read; a plugin's own failures of this kind are its own. */
    private static final class PipeBroken extends RuntimeException {
        private static final long serialVersionUID = 1;

        PipeBroken(IOException why) {
            super(why);
        }
    }

    private Helper(Wire wire, ClassLoader plugin) {
        this.wire = wire;
        this.plugin = plugin;
    }

    /**
     * @param arguments the JAR of the plugin
     */
    public static void main(String[] arguments) throws IOException {
        OutputStream out = new BufferedOutputStream(new FileOutputStream(FileDescriptor.out));
        System.setOut(System.err);
        Wire wire = new Wire(new BufferedInputStream(new FileInputStream(FileDescriptor.in)), out);
        System.setIn(java.io.InputStream.nullInputStream());
        ShownClasses shown = new ShownClasses(Helper.class.getClassLoader(), false);
        URL jar = Path.of(arguments[0]).toUri().toURL();
        try (URLClassLoader plugin = new URLClassLoader(new URL[] {jar}, shown)) {
            Thread.currentThread().setContextClassLoader(plugin);
            endWithTheHost();
            new Helper(wire, plugin).serve();
        } catch (IOException tooLong) {
            System.err.println(tooLong.getMessage());
            Runtime.getRuntime().halt(1);
        }
        // Threads that a plugin left behind do not keep the process.
        Runtime.getRuntime().halt(0);
    }

    /** However busy a plugin is, its process does not outlive the one that started it. */
    private static void endWithTheHost() {
        ProcessHandle host = ProcessHandle.current().parent().orElse(null);
        if (host == null) {
            return;
        }
        Thread watch = new Thread(() -> {
            while (host.isAlive()) {
                try {
                    Thread.sleep(WATCH_MS);
                } catch (InterruptedException nobodyAsks) {
                    Thread.currentThread().interrupt();
                    return;
                }
            }
            Runtime.getRuntime().halt(1);
        });
        watch.setDaemon(true);
        watch.start();
    }

    private void serve() throws IOException {
        while (true) {
            JsonNode asked;
            try {
                asked = wire.receive();
            } catch (IOException hostIsGone) {
                return;
            }
            ObjectNode reply = Wire.json().createObjectNode();
            try {
                switch (asked.path("ask").asText()) {
                    case "offers" -> reply.set("offers", introduced());
                    case "answer" -> reply.set("answer", answer(asked));
                    case "check" -> reply.set("checks", check(asked));
                    default -> reply.put("failed", "nothing is asked under this name");
                }
            } catch (BadInput bad) {
                reply.removeAll();
                reply.put("field", bad.field()).put("value", bad.value()).put("remedy", bad.remedy());
            } catch (IOException | PipeBroken pipe) {
                return;
            } catch (Throwable failed) {
                // Whatever a plugin does wrong is told to the host in words; the process goes on if it can.
                reply.removeAll();
                reply.put("failed", said(failed));
            }
            wire.send(reply);
        }
    }

    private static String said(Throwable failed) {
        Throwable first = failed;
        while (first.getCause() != null) {
            first = first.getCause();
        }
        String text = first.getClass().getName() + (first.getMessage() == null ? "" : ": " + first.getMessage());
        StackTraceElement[] trace = first.getStackTrace();
        return (text.length() > 500 ? text.substring(0, 500) : text) + (trace.length == 0 ? "" : ", at " + trace[0]);
    }

    private Offers offers() {
        if (offers == null) {
            offers = Offers.of(plugin);
        }
        return offers;
    }

    private JsonNode introduced() {
        ObjectNode said = Wire.json().createObjectNode();
        ArrayNode asked = said.putArray("asked");
        for (Calculator calculator : offers().asked) {
            ObjectNode one = asked.addObject()
                    .put(
                            "as",
                            calculator instanceof Report
                                    ? "report"
                                    : calculator instanceof Importer ? "importer" : "calculator");
            one.set("card", Wire.json().valueToTree(calculator.card()));
            ArrayNode questions = one.putArray("questions");
            calculator
                    .questions()
                    .forEach(question -> questions.add((JsonNode) Wire.json().valueToTree(question.declared())));
        }
        ArrayNode checks = said.putArray("checks");
        offers().checks.forEach(check -> checks.add((JsonNode) Wire.json().valueToTree(check.card())));
        ArrayNode events = said.putArray("events");
        offers().events
                .forEach(event -> events.addObject().put("type", event.type()).put("version", event.version()));
        return said;
    }

    private JsonNode answer(JsonNode asked) throws IOException {
        Calculator calculator = named(offers().asked, asked.path("calculator").asText(), Calculator::card);
        Map<String, String> given = new LinkedHashMap<>();
        asked.path("replies")
                .properties()
                .forEach(each -> given.put(each.getKey(), each.getValue().asText()));
        Replies replies = Replies.read(calculator.questions(), given);
        return Wire.json().valueToTree(calculator.answer(replies, studio(), progress()));
    }

    private JsonNode check(JsonNode asked) throws IOException {
        AuditCheck check = named(offers().checks, asked.path("check").asText(), AuditCheck::card);
        StudioView.RunRecord run = Wire.json().treeToValue(asked.path("run"), StudioView.RunRecord.class);
        return Wire.json().valueToTree(check.check(run, studio()));
    }

    private static <T> T named(List<T> all, String id, java.util.function.Function<T, Card> card) {
        return all.stream()
                .filter(each -> card.apply(each).id().equals(id))
                .findFirst()
                .orElseThrow(() -> new BadInput("plugin", id, "it does not offer this"));
    }

    private Progress progress() {
        return (share, words) -> {
            try {
                wire.send(Wire.json().createObjectNode().put("progress", share).put("words", words));
            } catch (IOException hostIsGone) {
                throw new PipeBroken(hostIsGone);
            }
        };
    }

    /** The studio as the host shows it: each call is a question over the pipe. */
    private StudioView studio() {
        return (StudioView) Proxy.newProxyInstance(
                plugin, new Class<?>[] {StudioView.class}, (proxy, method, given) -> {
                    if (method.getDeclaringClass() == Object.class) {
                        return own(proxy, method, given);
                    }
                    return method.isDefault()
                            ? InvocationHandler.invokeDefault(proxy, method, given)
                            : asked(method, given);
                });
    }

    private static Object own(Object proxy, Method method, Object[] given) {
        return switch (method.getName()) {
            case "equals" -> proxy == given[0];
            case "hashCode" -> System.identityHashCode(proxy);
            default -> "the studio";
        };
    }

    private Object asked(Method method, Object[] given) {
        ObjectNode question = Wire.json().createObjectNode().put("studio", method.getName());
        question.set("given", Wire.json().valueToTree(given == null ? new Object[0] : given));
        synchronized (wire) {
            try {
                wire.send(question);
                return wire.told(Wire.json().constructType(method.getGenericReturnType()));
            } catch (IOException broken) {
                throw new PipeBroken(broken);
            }
        }
    }
}
