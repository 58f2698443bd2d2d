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
    private static final Duration TRY_AGAIN = Duration.ofSeconds(30);
    /** Most characters of all replies together, files among them. */
    private static final int LONGEST_REPLIES = 14 << 20;

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
    private final Path archive;
    private final Duration deadline;
    private final AtomicLong nanos = new AtomicLong();
    private volatile String error = "";
    /** Checks run in a process of their own: a calculator may ask for a run while its own plugin's checks are asked about it. */
    private final Slot answering = new Slot();

    private final Slot checking = new Slot();
    private @Nullable Offers offers;
    private long brokenAt;

    /** A place for one process, which begins when it is needed. */
    private final class Slot {
        private @Nullable HelperProcess process;

        /** The running process, or a new one, which introduces itself first. */
        synchronized HelperProcess process() {
            HelperProcess running = process;
            if (running == null || !running.isAlive()) {
                running = HelperProcess.start(jar, archive);
                process = running;
                introduced(running.ask(
                        Wire.json().createObjectNode().put("ask", "offers"), NOTHING, Progress.NONE, START));
            }
            return running;
        }

        /** Asks, with a new process when the one there was ended a moment ago. */
        JsonNode ask(ObjectNode question, StudioView studio, Progress progress) {
            try {
                return process().ask(question, studio, progress, deadline);
            } catch (HelperProcess.Gone gone) {
                return process().ask(question, studio, progress, deadline);
            }
        }

        synchronized void rest(Duration idle) {
            if (process != null && process.idleFor(idle)) {
                end();
            }
        }

        synchronized boolean isRunning() {
            return process != null && process.isAlive();
        }

        synchronized void end() {
            if (process != null) {
                process.close();
                process = null;
            }
        }
    }

    /**
     * @param jar the copy that was kept when it was approved
     * @param archive by which its process starts sooner, where there is one
     */
    RemotePlugin(String name, Path jar, Path archive, Duration deadline) {
        this.name = name;
        this.jar = jar;
        this.archive = archive;
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

    /** What it has; where it could not say so, it is asked again after half a minute. */
    Offers offers() {
        synchronized (this) {
            boolean tryAgain = brokenAt != 0 && System.nanoTime() - brokenAt > TRY_AGAIN.toNanos();
            if (offers != null && !tryAgain) {
                return offers;
            }
        }
        try {
            answering.process();
        } catch (HelperProcess.Ended | HelperProcess.Gone | BadInput wrong) {
            error = String.valueOf(wrong.getMessage());
            synchronized (this) {
                offers = Offers.none(error);
                brokenAt = System.nanoTime();
            }
        }
        synchronized (this) {
            return offers == null ? Offers.none("it offers nothing") : offers;
        }
    }

    /** Keeps the first introduction: what it offers does not change while the file is the same. */
    private synchronized void introduced(JsonNode reply) {
        if (offers == null || brokenAt != 0) {
            offers = read(reply);
            brokenAt = 0;
        }
    }

    /** Ends its processes when nobody asked for so long. */
    void rest(Duration idle) {
        answering.rest(idle);
        checking.rest(idle);
    }

    /** Whether a process of it runs. */
    boolean isRunning() {
        return answering.isRunning() || checking.isRunning();
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
                checks.add(new RemoteCheck(FromPlugin.read(each, Card.class)));
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
        Card card = FromPlugin.read(each.path("card"), Card.class);
        List<Question<?>> questions = new ArrayList<>();
        for (JsonNode question : each.path("questions")) {
            questions.add(Question.of(FromPlugin.read(question, Question.Declared.class)));
        }
        return switch (each.path("as").asText()) {
            case "report" -> new RemoteReport(card, questions);
            case "importer" -> new RemoteImporter(card, questions);
            default -> new Remote(card, questions);
        };
    }

    private JsonNode ask(Slot slot, Card card, ObjectNode question, StudioView studio, Progress progress) {
        long start = System.nanoTime();
        try {
            return slot.ask(question, studio, progress);
        } catch (HelperProcess.Ended | HelperProcess.Gone ended) {
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
            int together =
                    replies.typed().values().stream().mapToInt(String::length).sum();
            if (together > LONGEST_REPLIES) {
                throw new BadInput(
                        "replies", (together >> 20) + " MB together", "give fewer or smaller files, 10 MB in all");
            }
            JsonNode said = ask(answering, card, asked, studio, progress).path("answer");
            try {
                if (said.isNull() || said.isMissingNode()) {
                    error = "it answered nothing";
                    throw new BadInput(card.title(), name, "it answered nothing; the log is as it was");
                }
                Answer answer = FromPlugin.read(said, Answer.class);
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
            JsonNode said = ask(checking, card, asked, studio, Progress.NONE).path("checks");
            try {
                return FromPlugin.read(said, new TypeReference<List<StudioView.Check>>() {});
            } catch (JsonProcessingException wrong) {
                throw forged(card, wrong);
            }
        }
    }

    @Override
    public void close() {
        answering.end();
        checking.end();
    }
}
