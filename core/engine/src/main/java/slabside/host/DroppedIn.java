package slabside.host;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.jspecify.annotations.Nullable;
import slabside.helper.Wire;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * Plugins that somebody dropped into a folder. Each is off until it is approved on this machine; the approval holds for the
 * file as it was then. An approved one runs in a process of its own, which keeps its faults from the log. It isolates faults,
 * not malice: the process has the rights of whoever runs the studio.
 */
public final class DroppedIn implements AutoCloseable {
    /** How a file stands. */
    public enum State {
        /** Nobody approved it on this machine. */
        OFF,
        APPROVED,
        /** It was approved, and is another file now. */
        CHANGED,
        /** It cannot run; the reason stands beside it. */
        SET_ASIDE
    }

    /**
     * One file of the folder.
     *
     * @param offers its calculators, as far as it was asked
     * @param why it is off or set aside, or an empty text
     * @param error the last thing that went wrong when it was asked, or an empty text
     * @param millis that its calculators took in all since the studio was opened
     */
    public record Listed(String file, State state, List<Card> offers, String why, String error, long millis) {
        public Listed {
            offers = List.copyOf(offers);
        }
    }

    private static final Duration START = Duration.ofSeconds(20);
    private static final Duration DEADLINE = Duration.ofSeconds(15);
    private static final Duration IDLE = Duration.ofMinutes(1);
    private static final String APPROVALS = "plugins.json";
    private static final long LARGEST = 50L << 20;

    private final Duration deadline;
    private final Path folder;
    private final Path approvals;
    /** Approved files by their hash. */
    private final Path kept;

    private final Set<String> taken;
    private final Map<String, HelperProcess> running = new ConcurrentHashMap<>();
    /** What a file of a hash offers, or why it cannot run. */
    private final Map<String, Offers> known = new ConcurrentHashMap<>();

    private final Map<String, String> errors = new ConcurrentHashMap<>();
    private final Map<String, Long> spent = new ConcurrentHashMap<>();

    private record Offers(List<Remote> calculators, String broken) {}

    /**
     * @param folder where files are dropped
     * @param config where this machine keeps its approvals
     * @param taken ids that no dropped-in plugin may offer
     */
    DroppedIn(Path folder, Path config, Set<String> taken) {
        this(folder, config, taken, DEADLINE);
    }

    DroppedIn(Path folder, Path config, Set<String> taken, Duration deadline) {
        this.deadline = deadline;
        this.folder = folder;
        this.approvals = config.resolve(APPROVALS);
        this.kept = config.resolve("approved-plugins");
        this.taken = Set.copyOf(taken);
    }

    public Path folder() {
        return folder;
    }

    /** Every file of the folder, in the order of their names. */
    public List<Listed> list() {
        Map<String, String> approved = approved();
        List<Listed> listed = new ArrayList<>();
        Set<String> ids = new LinkedHashSet<>(taken);
        for (Path file : files()) {
            String name = file.getFileName().toString();
            String hash = hash(file);
            String wrong = wrong(file);
            if (!wrong.isEmpty()) {
                listed.add(listed(name, State.SET_ASIDE, List.of(), wrong));
            } else if (!approved.containsKey(name)) {
                listed.add(listed(name, State.OFF, List.of(), "nobody approved it on this machine"));
            } else if (!hash.equals(approved.get(name))) {
                listed.add(listed(
                        name, State.CHANGED, List.of(), "it is another file than the one approved; approve it again"));
            } else {
                Offers offers = offers(file, hash);
                List<Card> cards = offers.calculators().stream()
                        .map(Remote::card)
                        .filter(card -> ids.add(card.id()))
                        .toList();
                String why = !offers.broken().isEmpty()
                        ? offers.broken()
                        : cards.size() < offers.calculators().size()
                                ? "another plugin offers "
                                        + offers.calculators().stream()
                                                .map(each -> each.card().id())
                                                .filter(id -> cards.stream()
                                                        .noneMatch(card ->
                                                                card.id().equals(id)))
                                                .toList()
                                        + " already"
                                : "";
                listed.add(listed(name, cards.isEmpty() ? State.SET_ASIDE : State.APPROVED, cards, why));
            }
        }
        return listed;
    }

    private Listed listed(String name, State state, List<Card> offers, String why) {
        return new Listed(
                name, state, offers, why, errors.getOrDefault(name, ""), spent.getOrDefault(name, 0L) / 1_000_000);
    }

    /** The calculators of approved files, by id; the first file that offers an id has it. */
    Map<String, Calculator> calculators() {
        Map<String, String> approved = approved();
        Map<String, Calculator> calculators = new LinkedHashMap<>();
        if (approved.isEmpty()) {
            return calculators;
        }
        for (Path file : files()) {
            String name = file.getFileName().toString();
            String hash = approved.get(name);
            if (hash != null && wrong(file).isEmpty() && hash.equals(hash(file))) {
                offers(file, hash).calculators().stream()
                        .filter(each -> !taken.contains(each.card().id()))
                        .forEach(each -> calculators.putIfAbsent(each.card().id(), each));
            }
        }
        return calculators;
    }

    /**
     * Approves a file as it is now.
     *
     * @throws BadInput when there is no such file, or it cannot be a plugin
     */
    public Listed approve(String name) {
        Path file = file(name);
        String wrong = wrong(file);
        if (!wrong.isEmpty()) {
            throw new BadInput("plugin", name, wrong);
        }
        String hash = keep(file);
        Map<String, String> approved = approved();
        approved.put(name, hash);
        write(approved);
        known.remove(hash);
        errors.remove(name);
        stop(name);
        return one(name);
    }

    /** Looks a file through and asks what it offers, in a process of its own, without approving it. */
    public Listed check(String name) {
        Path file = file(name);
        String wrong = wrong(file);
        if (!wrong.isEmpty()) {
            return listed(name, State.SET_ASIDE, List.of(), wrong);
        }
        stop(name);
        Offers offers = ask(name, file);
        stop(name);
        List<Card> cards = offers.calculators().stream().map(Remote::card).toList();
        return listed(name, cards.isEmpty() ? State.SET_ASIDE : one(name).state(), cards, offers.broken());
    }

    /** Takes an approval back; the file stays where it is. */
    public Listed revoke(String name) {
        Map<String, String> approved = approved();
        if (approved.remove(name) == null) {
            throw new BadInput("plugin", name, "it is not approved on this machine");
        }
        write(approved);
        stop(name);
        return one(name);
    }

    private void stop(String name) {
        HelperProcess helper = running.remove(name);
        if (helper != null) {
            helper.close();
        }
    }

    /** Keeps what is approved as it is now, so that nothing else can run in its place, and gives its hash. */
    private String keep(Path file) {
        try {
            Files.createDirectories(kept);
            Path copy = Files.createTempFile(kept, "approving", ".jar");
            Files.copy(file, copy, StandardCopyOption.REPLACE_EXISTING);
            String hash = hash(copy);
            Files.move(copy, kept(hash), StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
            return hash;
        } catch (IOException failed) {
            throw new BadInput("plugin", file, "what is approved cannot be kept: " + failed.getMessage());
        }
    }

    private Path kept(String hash) {
        return kept.resolve(hash + ".jar");
    }

    private Listed one(String name) {
        return list().stream()
                .filter(each -> each.file().equals(name))
                .findFirst()
                .orElse(listed(name, State.OFF, List.of(), "the file is gone"));
    }

    private Path file(String name) {
        return files().stream()
                .filter(file -> file.getFileName().toString().equals(name))
                .findFirst()
                .orElseThrow(() -> new BadInput(
                        "plugin",
                        name,
                        "there is no such file in " + folder + "; there are "
                                + files().stream()
                                        .map(file -> file.getFileName().toString())
                                        .toList()));
    }

    private List<Path> files() {
        if (!Files.isDirectory(folder)) {
            return List.of();
        }
        try (Stream<Path> all = Files.list(folder)) {
            return all.filter(file -> Files.isRegularFile(file)
                            && file.getFileName().toString().endsWith(".jar"))
                    .sorted()
                    .toList();
        } catch (IOException failed) {
            throw new BadInput("folder of plugins", folder, "it cannot be read: " + failed.getMessage());
        }
    }

    /** Why a file cannot be a plugin, from looking at it alone; an empty text when it can. */
    private static String wrong(Path file) {
        try {
            if (Files.size(file) > LARGEST) {
                return "it is larger than " + (LARGEST >> 20) + " MB";
            }
            boolean service = false;
            try (ZipFile zip = new ZipFile(file.toFile())) {
                for (ZipEntry entry : (Iterable<ZipEntry>) zip.stream().map(ZipEntry.class::cast)::iterator) {
                    String name = entry.getName();
                    if (name.startsWith("/") || name.contains("..") || name.contains("\\")) {
                        return "it holds a name that leads out of it: " + name;
                    }
                    if (name.startsWith("slabside/") && name.endsWith(".class")) {
                        return "it holds a class of Slabside's own name: " + name;
                    }
                    service |= name.equals("META-INF/services/" + Calculator.class.getName());
                }
            }
            return service ? "" : "it has no line in META-INF/services/" + Calculator.class.getName();
        } catch (IOException broken) {
            return "it is no JAR that can be read: " + broken.getMessage();
        }
    }

    private static String hash(Path file) {
        try (InputStream in = Files.newInputStream(file);
                DigestInputStream digested = new DigestInputStream(in, MessageDigest.getInstance("SHA-256"))) {
            digested.transferTo(java.io.OutputStream.nullOutputStream());
            return HexFormat.of().formatHex(digested.getMessageDigest().digest());
        } catch (IOException failed) {
            throw new BadInput("plugin", file, "it cannot be read: " + failed.getMessage());
        } catch (NoSuchAlgorithmException never) {
            throw new IllegalStateException(never);
        }
    }

    private Map<String, String> approved() {
        if (!Files.exists(approvals)) {
            return new TreeMap<>();
        }
        try {
            return Wire.json().readValue(approvals.toFile(), new TypeReference<TreeMap<String, String>>() {});
        } catch (IOException broken) {
            throw new BadInput(
                    "approvals of plugins",
                    approvals,
                    "they cannot be read: " + broken.getMessage()
                            + "; take the file away and approve the plugins again");
        }
    }

    private void write(Map<String, String> approved) {
        try {
            Files.createDirectories(approvals.toAbsolutePath().getParent());
            Path beside = approvals.resolveSibling(APPROVALS + ".new");
            Files.write(beside, Wire.json().writerWithDefaultPrettyPrinter().writeValueAsBytes(approved));
            Files.move(beside, approvals, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        } catch (IOException failed) {
            throw new BadInput("approvals of plugins", approvals, "they cannot be written: " + failed.getMessage());
        }
    }

    private Offers offers(Path file, String hash) {
        return known.computeIfAbsent(hash, any -> ask(file.getFileName().toString(), kept(hash)));
    }

    private Offers ask(String name, Path jar) {
        try {
            JsonNode said = helper(name, jar).ask(Wire.json().createObjectNode().put("ask", "offers"), NOTHING, START);
            List<Remote> calculators = new ArrayList<>();
            for (JsonNode offer : said.path("offers")) {
                calculators.add(remote(name, jar, offer));
            }
            return new Offers(calculators, calculators.isEmpty() ? "it offers nothing" : "");
        } catch (HelperProcess.Ended | BadInput | JsonProcessingException wrong) {
            errors.put(name, String.valueOf(wrong.getMessage()));
            return new Offers(List.of(), String.valueOf(wrong.getMessage()));
        }
    }

    /** What offers are asked with: a plugin that introduces itself has no business with the studio. */
    private static final StudioView NOTHING = (StudioView) java.lang.reflect.Proxy.newProxyInstance(
            StudioView.class.getClassLoader(), new Class<?>[] {StudioView.class}, (proxy, method, given) -> {
                throw new IllegalStateException(
                        "a plugin that introduces itself asked for the studio; ask while answering");
            });

    private Remote remote(String name, Path jar, JsonNode offer) throws JsonProcessingException {
        Card card = Wire.json().treeToValue(offer.path("card"), Card.class);
        List<Question<?>> questions = new ArrayList<>();
        for (JsonNode each : offer.path("questions")) {
            List<String> picks = new ArrayList<>();
            each.path("picks").forEach(kind -> picks.add(kind.asText()));
            questions.add(Question.declared(
                    each.path("id").asText(),
                    each.path("label").asText(),
                    each.path("unit").asText(),
                    picks,
                    each.path("preset").asText(""),
                    origin(each),
                    each.path("optional").asBoolean()));
        }
        return new Remote(name, jar, card, questions);
    }

    private static Question.@Nullable Origin origin(JsonNode question) {
        return Optional.of(question.path("origin").asText(""))
                .filter(word -> !word.isEmpty())
                .map(Question.Origin::valueOf)
                .orElse(null);
    }

    /** The running process of a file, or a new one; those that nobody asked for a minute are ended. */
    private synchronized HelperProcess helper(String name, Path jar) {
        running.entrySet().removeIf(each -> {
            boolean over = !each.getValue().isAlive() || each.getValue().idleFor(IDLE);
            if (over) {
                each.getValue().close();
            }
            return over;
        });
        return running.computeIfAbsent(name, any -> HelperProcess.start(jar));
    }

    /** A calculator that answers in its own process. */
    private final class Remote implements Calculator {
        private final String name;
        private final Path jar;
        private final Card card;
        private final List<Question<?>> questions;

        Remote(String name, Path jar, Card card, List<Question<?>> questions) {
            this.name = name;
            this.jar = jar;
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
            ObjectNode asked =
                    Wire.json().createObjectNode().put("ask", "answer").put("calculator", card.id());
            ObjectNode given = asked.putObject("replies");
            questions.forEach(question ->
                    replies.maybe(question).ifPresent(reply -> given.put(question.id(), String.valueOf(reply))));
            long start = System.nanoTime();
            try {
                HelperProcess helper = helper(name, jar);
                // A new process has to read its plugin first.
                helper.ask(Wire.json().createObjectNode().put("ask", "offers"), NOTHING, START);
                Answer answer = Wire.json()
                        .treeToValue(helper.ask(asked, studio, deadline).path("answer"), Answer.class);
                errors.remove(name);
                return answer;
            } catch (HelperProcess.Ended ended) {
                errors.put(name, String.valueOf(ended.getMessage()));
                throw new BadInput(card.title(), name, ended.getMessage() + "; the log is as it was");
            } catch (JsonProcessingException forged) {
                errors.put(name, "what it answered is no answer: " + forged.getOriginalMessage());
                throw new BadInput(
                        card.title(), name, "what it answered is no answer of the contract; the log is as it was");
            } finally {
                spent.merge(name, System.nanoTime() - start, Long::sum);
            }
        }
    }

    @Override
    public void close() {
        running.values().forEach(HelperProcess::close);
        running.clear();
    }
}
