package slabside.host;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.lang.reflect.Proxy;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import slabside.helper.Wire;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.AuditCheck;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Importer;
import slabside.plugin.Progress;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** One approved file with its process. The process begins when it is asked, and ends when nobody asked for a while. */
final class RemotePlugin implements AutoCloseable {
    private static final Duration START = Duration.ofSeconds(20);

    /** What offers are asked with: a plugin that introduces itself has no business with the studio. */
    private static final StudioView NOTHING = (StudioView) Proxy.newProxyInstance(
            StudioView.class.getClassLoader(), new Class<?>[] {StudioView.class}, (proxy, method, given) -> {
                throw new IllegalStateException(
                        "a plugin that introduces itself asked for the studio; ask while answering");
            });

    /**
     * What it has.
     *
     * @param events versions by the types of its own events
     * @param broken why it cannot run, or an empty text
     */
    record Offers(List<Calculator> asked, List<AuditCheck> checks, Map<String, Integer> events, String broken) {
        Offers {
            asked = List.copyOf(asked);
            checks = List.copyOf(checks);
        }

        static Offers none(String broken) {
            return new Offers(List.of(), List.of(), Map.of(), broken);
        }

        List<Card> cards() {
            List<Card> cards =
                    new ArrayList<>(asked.stream().map(Calculator::card).toList());
            cards.addAll(checks.stream().map(AuditCheck::card).toList());
            return cards;
        }
    }

    private final String name;
    private final Path jar;
    private final Duration deadline;
    private final AtomicLong nanos = new AtomicLong();
    private volatile String error = "";
    private @Nullable HelperProcess process;
    private @Nullable Offers offers;

    /**
     * @param jar the copy that was kept when it was approved
     */
    RemotePlugin(String name, Path jar, Duration deadline) {
        this.name = name;
        this.jar = jar;
        this.deadline = deadline;
    }

    /** The last thing that went wrong, or an empty text. */
    String error() {
        return error;
    }

    /** What it took in all. */
    long nanos() {
        return nanos.get();
    }

    Offers offers() {
        synchronized (this) {
            if (offers != null) {
                return offers;
            }
        }
        try {
            process();
        } catch (HelperProcess.Ended | BadInput wrong) {
            error = String.valueOf(wrong.getMessage());
            synchronized (this) {
                offers = Offers.none(error);
            }
        }
        synchronized (this) {
            return offers == null ? Offers.none("it offers nothing") : offers;
        }
    }

    /** Ends its process when nobody asked for so long. */
    synchronized void rest(Duration idle) {
        if (process != null && process.idleFor(idle)) {
            process.close();
            process = null;
        }
    }

    /** Whether its process runs. */
    synchronized boolean isRunning() {
        return process != null && process.isAlive();
    }

    /** The running process, or a new one, which introduces itself first. */
    private synchronized HelperProcess process() {
        HelperProcess running = process;
        if (running == null || !running.isAlive()) {
            running = HelperProcess.start(jar);
            process = running;
            offers = read(
                    running.ask(Wire.json().createObjectNode().put("ask", "offers"), NOTHING, Progress.NONE, START));
        }
        return running;
    }

    private Offers read(JsonNode reply) {
        JsonNode said = reply.path("offers");
        try {
            List<Calculator> asked = new ArrayList<>();
            for (JsonNode each : said.path("asked")) {
                asked.add(asked(each));
            }
            List<AuditCheck> checks = new ArrayList<>();
            for (JsonNode each : said.path("checks")) {
                checks.add(new RemoteCheck(Wire.json().treeToValue(each, Card.class)));
            }
            Map<String, Integer> events = new LinkedHashMap<>();
            for (JsonNode each : said.path("events")) {
                events.put(
                        slabside.plugin.OwnEvent.stored(each.path("type").asText()),
                        each.path("version").asInt());
            }
            return new Offers(
                    asked,
                    checks,
                    events,
                    asked.isEmpty() && checks.isEmpty() && events.isEmpty() ? "it offers nothing" : "");
        } catch (JsonProcessingException forged) {
            return Offers.none("what it offers is nothing of the contract: " + forged.getOriginalMessage());
        } catch (BadInput bad) {
            return Offers.none(String.valueOf(bad.getMessage()));
        }
    }

    private Remote asked(JsonNode each) throws JsonProcessingException {
        Card card = Wire.json().treeToValue(each.path("card"), Card.class);
        List<Question<?>> questions = new ArrayList<>();
        for (JsonNode question : each.path("questions")) {
            questions.add(Question.of(Wire.json().treeToValue(question, Question.Declared.class)));
        }
        return switch (each.path("as").asText()) {
            case "report" -> new RemoteReport(card, questions);
            case "importer" -> new RemoteImporter(card, questions);
            default -> new Remote(card, questions);
        };
    }

    private JsonNode ask(Card card, ObjectNode question, StudioView studio, Progress progress) {
        long start = System.nanoTime();
        try {
            return process().ask(question, studio, progress, deadline);
        } catch (HelperProcess.Ended ended) {
            error = String.valueOf(ended.getMessage());
            throw new BadInput(card.title(), name, ended.getMessage() + "; the log is as it was");
        } finally {
            nanos.addAndGet(System.nanoTime() - start);
        }
    }

    private BadInput forged(Card card, JsonProcessingException wrong) {
        error = "what it answered is no answer: " + wrong.getOriginalMessage();
        return new BadInput(card.title(), name, "what it answered is no answer of the contract; the log is as it was");
    }

    /** A calculator that answers in its own process. */
    private class Remote implements Calculator {
        private final Card card;
        private final List<Question<?>> questions;

        Remote(Card card, List<Question<?>> questions) {
            this.card = card;
            this.questions = List.copyOf(questions);
        }

        @Override
        public Card card() {
            return card;
        }

        @Override
        public List<Question<?>> questions() {
            return questions;
        }

        @Override
        public Answer answer(Replies replies, StudioView studio) {
            return answer(replies, studio, Progress.NONE);
        }

        @Override
        public Answer answer(Replies replies, StudioView studio, Progress progress) {
            ObjectNode asked =
                    Wire.json().createObjectNode().put("ask", "answer").put("calculator", card.id());
            ObjectNode given = asked.putObject("replies");
            replies.typed().forEach(given::put);
            JsonNode said = ask(card, asked, studio, progress).path("answer");
            try {
                Answer answer = Wire.json().treeToValue(said, Answer.class);
                if (answer == null) {
                    error = "it answered nothing";
                    throw new BadInput(card.title(), name, "it answered nothing; the log is as it was");
                }
                error = "";
                return answer;
            } catch (JsonProcessingException wrong) {
                throw forged(card, wrong);
            }
        }
    }

    private final class RemoteReport extends Remote implements Report {
        RemoteReport(Card card, List<Question<?>> questions) {
            super(card, questions);
        }
    }

    private final class RemoteImporter extends Remote implements Importer {
        RemoteImporter(Card card, List<Question<?>> questions) {
            super(card, questions);
        }
    }

    private final class RemoteCheck implements AuditCheck {
        private final Card card;

        RemoteCheck(Card card) {
            this.card = card;
        }

        @Override
        public Card card() {
            return card;
        }

        @Override
        public List<StudioView.Check> check(StudioView.RunRecord run, StudioView studio) {
            ObjectNode asked =
                    Wire.json().createObjectNode().put("ask", "check").put("check", card.id());
            asked.set("run", Wire.json().valueToTree(run));
            JsonNode said = ask(card, asked, studio, Progress.NONE).path("checks");
            try {
                return Wire.json().treeToValue(said, new TypeReference<List<StudioView.Check>>() {});
            } catch (JsonProcessingException wrong) {
                throw forged(card, wrong);
            }
        }
    }

    @Override
    public synchronized void close() {
        if (process != null) {
            process.close();
            process = null;
        }
    }
}
