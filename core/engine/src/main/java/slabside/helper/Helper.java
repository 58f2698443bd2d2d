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
import java.io.UncheckedIOException;
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
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * The process of one plugin: reads questions from standard input, answers on standard output, asks the host for what a plugin
 * wants to see of the studio. Ends when its input does. What the plugin prints goes to standard error.
 */
public final class Helper {
    private final Wire wire;
    private final List<Calculator> calculators = new ArrayList<>();

    private Helper(Wire wire) {
        this.wire = wire;
    }

    /**
     * @param arguments the JAR of the plugin
     */
    public static void main(String[] arguments) throws IOException {
        OutputStream out = new BufferedOutputStream(new FileOutputStream(FileDescriptor.out));
        System.setOut(System.err);
        Helper helper = new Helper(new Wire(new BufferedInputStream(new FileInputStream(FileDescriptor.in)), out));
        System.setIn(java.io.InputStream.nullInputStream());
        URL jar = Path.of(arguments[0]).toUri().toURL();
        try (URLClassLoader plugin =
                new URLClassLoader(new URL[] {jar}, new ShownClasses(Helper.class.getClassLoader()))) {
            Thread.currentThread().setContextClassLoader(plugin);
            helper.serve(plugin);
        } catch (IOException tooLong) {
            System.err.println(tooLong.getMessage());
            Runtime.getRuntime().halt(1);
        }
        // Threads that a plugin left behind do not keep the process.
        Runtime.getRuntime().halt(0);
    }

    private void serve(ClassLoader plugin) throws IOException {
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
                    case "offers" -> reply.set("offers", offers(plugin));
                    case "answer" -> reply.set("answer", answer(asked));
                    default -> reply.put("failed", "nothing is asked under this name");
                }
            } catch (BadInput bad) {
                reply.removeAll();
                reply.put("field", bad.field()).put("value", bad.value()).put("remedy", bad.remedy());
            } catch (IOException | UncheckedIOException pipe) {
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

    private ArrayNode offers(ClassLoader plugin) {
        if (calculators.isEmpty()) {
            ServiceLoader.load(Calculator.class, plugin).forEach(calculators::add);
        }
        ArrayNode offers = Wire.json().createArrayNode();
        for (Calculator calculator : calculators) {
            ObjectNode offer = offers.addObject();
            offer.set("card", Wire.json().valueToTree(calculator.card()));
            ArrayNode questions = offer.putArray("questions");
            for (Question<?> question : calculator.questions()) {
                ObjectNode one = questions
                        .addObject()
                        .put("id", question.id())
                        .put("label", question.label())
                        .put("unit", question.unit())
                        .put("optional", question.isOptional());
                one.set("picks", Wire.json().valueToTree(question.picks()));
                question.preset().ifPresent(preset -> one.put("preset", preset));
                question.origin().ifPresent(origin -> one.put("origin", origin.name()));
            }
        }
        return offers;
    }

    private JsonNode answer(JsonNode asked) throws IOException {
        String id = asked.path("calculator").asText();
        Calculator calculator = calculators.stream()
                .filter(each -> each.card().id().equals(id))
                .findFirst()
                .orElseThrow(() -> new BadInput("calculator", id, "this plugin does not offer it"));
        Map<String, String> given = new LinkedHashMap<>();
        asked.path("replies")
                .properties()
                .forEach(each -> given.put(each.getKey(), each.getValue().asText()));
        Replies replies = Replies.read(calculator.questions(), given);
        Answer answer = calculator.answer(replies, studio());
        return Wire.json().valueToTree(answer);
    }

    /** The studio as the host shows it: each call is a question over the pipe. */
    private StudioView studio() {
        return (StudioView) Proxy.newProxyInstance(
                Helper.class.getClassLoader(),
                new Class<?>[] {StudioView.class},
                (proxy, method, given) ->
                        method.getDeclaringClass() == Object.class ? own(proxy, method, given) : asked(method, given));
    }

    private static Object own(Object proxy, Method method, Object[] given) {
        return switch (method.getName()) {
            case "equals" -> proxy == given[0];
            case "hashCode" -> System.identityHashCode(proxy);
            default -> "the studio";
        };
    }

    private Object asked(Method method, Object[] given) throws IOException {
        ObjectNode question = Wire.json().createObjectNode().put("studio", method.getName());
        question.set("given", Wire.json().valueToTree(given == null ? new Object[0] : given));
        synchronized (wire) {
            wire.send(question);
            JsonNode reply = wire.receive();
            if (reply.has("failed")) {
                throw new IllegalArgumentException(reply.path("failed").asText());
            }
            return Wire.json()
                    .readerFor(Wire.json().constructType(method.getGenericReturnType()))
                    .readValue(reply.path("value"));
        }
    }
}
