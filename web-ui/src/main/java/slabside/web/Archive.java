package slabside.web;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.text.Normalizer;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.event.LogEvent;
import slabside.log.Head;
import slabside.log.Transfer;
import slabside.log.Verification;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Progress;
import slabside.studio.Studio;
import slabside.views.Thing;
import slabside.views.Timeline;
import slabside.views.Told;

/**
 * A whole studio in one folder that can be read in fifty years without this program: the log as it is chained, tables with a
 * dictionary, photos, papers, and a plain text that says what is what. Made beside its place and moved there when whole.
 */
final class Archive {
    private static final int MOST_THINGS = 1_000_000;
    private static final int AT_ONCE = 2_000;
    private static final int LONGEST_NAME = 60;

    private final Studio studio;
    private final Progress progress;
    private final List<String> notMade = new ArrayList<>();
    private final Set<String> names = new TreeSet<>();

    /**
     * What was put together.
     *
     * @param notMade papers that could not be made, and why
     */
    record Made(long events, int attached, int papers, List<String> notMade) {}

    Archive(Studio studio, Progress progress) {
        this.studio = studio;
        this.progress = progress;
    }

    /**
     * @param papers whether papers are made too
     * @throws BadInput when something is there already, or the folder cannot be written
     */
    Made into(Path folder, boolean papers) {
        if (Files.exists(folder)) {
            throw new BadInput("--to", folder, "it is there already; name a folder that is not");
        }
        Path making = folder.resolveSibling(folder.getFileName() + ".part");
        try {
            if (Files.exists(making)) {
                throw new BadInput(
                        "--to",
                        folder,
                        "an archive was begun there before; delete " + making + " or name another folder");
            }
            Files.createDirectories(making);
            Made made = fill(making, papers);
            Files.move(making, folder, StandardCopyOption.ATOMIC_MOVE);
            return made;
        } catch (IOException failed) {
            throw new BadInput(
                    "--to", folder, "it cannot be written: " + failed.getMessage() + "; what is there is in " + making);
        }
    }

    private Made fill(Path folder, boolean withPapers) throws IOException {
        progress.at(0, "verifying the log");
        Verification verified = studio.log().verify();
        List<Head> last;
        try (OutputStream lines = out(folder.resolve("log.jsonl"));
                OutputStream hashes = out(folder.resolve("log.hashes"))) {
            last = Transfer.export(studio.log(), lines, hashes);
        }
        long events;
        try (Stream<String> lines = Files.lines(folder.resolve("log.hashes"))) {
            events = lines.count();
        }
        String heads = last.stream()
                .map(head -> head.origin() + " " + head.oseq() + " " + head.hash() + "\n")
                .sorted()
                .collect(Collectors.joining());
        Files.writeString(folder.resolve("heads.txt"), heads);
        try (InputStream check = Objects.requireNonNull(Studio.class.getResourceAsStream("/slabside/log/check.py"))) {
            Files.copy(check, folder.resolve("check.py"));
        }
        people(folder);
        progress.at(0.1, "photos and memos");
        int attached = attached(Files.createDirectories(folder.resolve("attached")));
        progress.at(0.2, "tables");
        new ArchiveTables(studio, Files.createDirectories(folder.resolve("tables"))).write();
        int papers = withPapers ? papers(Files.createDirectories(folder.resolve("papers"))) : 0;
        Made made = new Made(events, attached, papers, List.copyOf(notMade));
        Files.writeString(folder.resolve("README.txt"), readme(made, heads, verified));
        return made;
    }

    private static OutputStream out(Path file) throws IOException {
        return new BufferedOutputStream(Files.newOutputStream(file));
    }

    /** Names stand outside the chain, so that one can be taken out. */
    private void people(Path folder) throws IOException {
        List<String> rows = new ArrayList<>();
        studio.people().all().forEach((id, name) -> rows.add(id + "\t" + name + "\n"));
        Files.writeString(folder.resolve("people.txt"), String.join("", rows));
    }

    private int attached(Path folder) throws IOException {
        Map<String, String> types = new LinkedHashMap<>();
        for (Told told : all("log.attached")) {
            LogEvent.Attached attached = (LogEvent.Attached) told.event();
            types.put(attached.sha256(), attached.mediaType());
        }
        int copied = 0;
        for (Map.Entry<String, String> each : types.entrySet()) {
            Optional<Path> file = studio.attachments().file(each.getKey());
            if (file.isPresent()) {
                Files.copy(file.get(), folder.resolve(each.getKey() + ending(each.getValue())));
                copied++;
            }
        }
        return copied;
    }

    private static String ending(String mediaType) {
        return switch (mediaType) {
            case "image/jpeg" -> ".jpg";
            case "image/png" -> ".png";
            case "image/webp" -> ".webp";
            case "audio/webm", "video/webm" -> ".webm";
            case "audio/ogg" -> ".ogg";
            case "audio/mp4", "audio/x-m4a" -> ".m4a";
            case "audio/wav", "audio/x-wav" -> ".wav";
            case "audio/mpeg" -> ".mp3";
            default -> ".bin";
        };
    }

    private List<Told> all(String type) {
        List<Told> all = new ArrayList<>();
        Timeline.Filter filter = Timeline.Filter.newest(AT_ONCE).ofType(type);
        Timeline.Page page;
        do {
            page = studio.views().timeline(filter);
            all.addAll(page.events());
            filter = filter.goingOn(page.next().orElse(""));
        } while (page.next().isPresent());
        return all;
    }

    /** A paper to be made: which calculator is asked what, and where its answer goes. */
    private record Wanted(
            String folder, String name, String calculator, Map<String, String> replies, Paper.Size size) {}

    private int papers(Path folder) throws IOException {
        List<Wanted> wanted = new ArrayList<>();
        for (Thing edition : things("edition")) {
            wanted.add(paper("editions", edition, "documentation-sheet", "edition", Paper.Size.A4));
            wanted.add(paper("editions", edition, "materials-and-cost", "of", Paper.Size.A4));
        }
        for (Thing run : things("run")) {
            wanted.add(paper("runs", run, "run-sheet", "run", Paper.Size.A4));
        }
        for (Thing mix : things("mix")) {
            wanted.add(paper("inks", mix, "recipe-card", "mix", Paper.Size.A5));
        }
        for (int year : years()) {
            wanted.add(new Wanted("years", "" + year, "studio-year", Map.of("year", "" + year), Paper.Size.A4));
        }
        wanted.add(new Wanted("shelf", "stock", "stock", Map.of(), Paper.Size.A4));
        wanted.add(new Wanted("shelf", "drawer list", "drawer-list", Map.of(), Paper.Size.A4));
        int made = 0;
        for (int i = 0; i < wanted.size(); i++) {
            Wanted each = wanted.get(i);
            progress.at(0.3 + 0.7 * i / wanted.size(), each.folder + ": " + each.name);
            made += make(folder, each) ? 1 : 0;
        }
        return made;
    }

    private Wanted paper(String folder, Thing thing, String calculator, String question, Paper.Size size) {
        return new Wanted(
                folder,
                studio.views().name(thing.id()) + ", " + calculator.replace('-', ' '),
                calculator,
                Map.of(question, thing.id().text()),
                size);
    }

    private boolean make(Path folder, Wanted wanted) throws IOException {
        Calculator calculator = studio.host().calculator(wanted.calculator);
        try {
            Answer answer = studio.host().ask(calculator, wanted.replies, Progress.NONE);
            Path into = Files.createDirectories(folder.resolve(wanted.folder));
            Files.write(
                    into.resolve(fileName(wanted.folder, wanted.name) + ".pdf"),
                    Paper.as(
                            "pdf",
                            answer,
                            calculator.card(),
                            new Paper.Sheet(wanted.size, "", Paper.Sheet.told(studio.log()))));
            return true;
        } catch (BadInput refused) {
            notMade.add(wanted.name + ": " + refused.getMessage());
            return false;
        } catch (RuntimeException broken) {
            // One paper that breaks must not cost the archive; it is named in the text and on the screen.
            notMade.add(wanted.name + ": it broke: " + broken);
            return false;
        }
    }

    /** In plain letters that every file system takes, each once. */
    private String fileName(String folder, String name) {
        String plain = Normalizer.normalize(name, Normalizer.Form.NFKD)
                .replaceAll("\\p{M}", "")
                .toLowerCase(Locale.ROOT)
                .replaceAll("[^a-z0-9]+", "-")
                .replaceAll("^-|-$", "");
        String cut = plain.substring(0, Math.min(LONGEST_NAME, plain.length()));
        String free = cut.isEmpty() ? "paper" : cut;
        for (int i = 2; !names.add(folder + "/" + free); i++) {
            free = (cut.isEmpty() ? "paper" : cut) + "-" + i;
        }
        return free;
    }

    private List<Thing> things(String kind) {
        return studio.views().things(kind, "", MOST_THINGS);
    }

    /** Years in which something was printed or mixed. */
    private Set<Integer> years() {
        Set<Integer> years = new LinkedHashSet<>();
        Stream.of("press.pulled", "ink.moved")
                .flatMap(type -> all(type).stream())
                .map(told -> LocalDate.ofInstant(Instant.ofEpochMilli(told.key().millis()), ZoneId.systemDefault())
                        .getYear())
                .sorted()
                .forEach(years::add);
        return years;
    }

    private String readme(Made made, String heads, Verification verified) {
        try (InputStream in = Objects.requireNonNull(Archive.class.getResourceAsStream("/paper/archive.txt"))) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .replace("{made}", LocalDate.now(ZoneId.systemDefault()).toString())
                    .replace("{zone}", ZoneId.systemDefault().getId())
                    .replace("{events}", "" + made.events)
                    .replace("{attached}", "" + made.attached)
                    .replace("{papers}", made.papers == 0 ? "none were asked for" : "" + made.papers)
                    .replace(
                            "{verified}",
                            verified.wrong()
                                    .map(wrong -> "IT WAS NOT WHOLE: " + wrong.what() + " at place " + wrong.pos())
                                    .orElse("it was whole"))
                    .replace("{heads}", heads.replaceAll("(?m)^", "    ").stripTrailing())
                    .replace(
                            "{notMade}",
                            made.notMade.isEmpty()
                                    ? "    none"
                                    : made.notMade.stream()
                                            .map(line -> "    " + line)
                                            .collect(Collectors.joining("\n")));
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        }
    }
}
