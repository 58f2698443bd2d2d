package slabside.share;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.log.ForeignLine;
import slabside.log.Head;
import slabside.log.LogTrouble;
import slabside.log.Segment;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.studio.People;
import slabside.studio.Studio;

/**
 * Takes from a shared folder what is not here and gives what is not there. Whatever order files come in, and however often,
 * all machines that have the same files hold the same log.
 */
final class Exchange {
    /** Lines of a piece that is written for the first time. */
    private static final int PIECE = 5_000;
    /** Small pieces of one chain that a machine leaves before it writes them as one. */
    private static final int SMALL_PIECES = 40;

    private static final long NOTE_EVERY = TimeUnit.HOURS.toMillis(1);

    private final Studio studio;
    private final SqlEventLog log;
    private final Path config;
    private final SharedFolder folder;
    private volatile Membership membership;
    /** Last place of every chain here. */
    private Map<String, Long> ends = Map.of();
    /** First line of every branch of a chain that parted; chains part only when something comes. */
    private List<Head> parted = List.of();

    private List<Exchanged.Differing> differing = List.of();
    /** What hindered something of an exchange and not the whole, in sentences. */
    private final List<String> troubles = new ArrayList<>();
    /** Chains that parted and were found whole in the folder, with what they and it were then. */
    private final Map<String, List<Object>> complete = new HashMap<>();

    private final WholeFiles whole = new WholeFiles();

    private int taken;
    private boolean first = true;

    Exchange(Studio studio, Membership membership) {
        this.studio = studio;
        this.log = studio.log();
        this.config = studio.config();
        this.membership = membership;
        this.folder = SharedFolder.open(Path.of(membership.folder()));
    }

    /**
     * One exchange.
     *
     * @param give whether to write what is not there yet; otherwise it waits for the next time
     */
    Exchanged run(boolean give) {
        if (!folder.share().equals(membership.share())) {
            throw new BadInput(
                    "folder",
                    folder.path(),
                    "another studio is shared through it than the one this machine joined; leave and join again");
        }
        SharedFolder.Seen seen = folder.look();
        whole.begin();
        taken = 0;
        troubles.clear();
        List<String> own = seen.notes().stream()
                .filter(note -> note.device().equals(membership.device()))
                .flatMap(note -> note.chains().stream())
                .toList();
        keep(membership.with(own));
        List<String> waiting = new ArrayList<>(seen.notWhole());
        waiting.addAll(take(seen));
        leaveChainIfItWentOnElsewhere(seen);
        if (first || taken > 0) {
            parted = log.forks();
            differing = differing();
            first = false;
        }
        ends = log.heads().stream().collect(Collectors.toMap(Head::origin, Head::oseq, Math::max, TreeMap::new));
        becomeAnotherIfThereAreTwo(seen);
        int files = takeNamesAndFiles(seen);
        int given = 0;
        if (give) {
            given = give(seen);
            files += giveFiles();
            writeNote(seen, false);
        }
        waiting.addAll(troubles);
        Telling telling = new Telling(studio, membership, seen, ends, parted);
        return new Exchanged(
                log.clock().millis(),
                taken,
                given,
                files,
                telling.machines(),
                waiting.stream().sorted().toList(),
                telling.missing(),
                telling.parted(),
                differing,
                "");
    }

    // What comes.

    /** Takes pieces in until none goes in any more; says why the rest does not. */
    private List<String> take(SharedFolder.Seen seen) {
        List<SharedFolder.Piece> rest = new ArrayList<>(seen.pieces());
        rest.sort(Comparator.comparing(
                        (SharedFolder.Piece piece) -> piece.segment().origin())
                .thenComparingLong(piece -> piece.segment().from()));
        Map<SharedFolder.Piece, String> why = new LinkedHashMap<>();
        boolean some = true;
        while (some) {
            some = false;
            for (SharedFolder.Piece piece : List.copyOf(rest)) {
                if (isHere(piece.segment())) {
                    rest.remove(piece);
                    why.remove(piece);
                } else if (!isNext(piece.segment())) {
                    why.put(piece, "the events before it are not here yet");
                } else {
                    String refused = takeIn(piece);
                    if (refused.isEmpty()) {
                        rest.remove(piece);
                        why.remove(piece);
                        some = true;
                    } else {
                        why.put(piece, refused);
                    }
                }
            }
        }
        Telling telling = new Telling(studio, membership, seen, ends, parted);
        return rest.stream()
                .map(piece -> "events " + piece.segment().from() + " to "
                        + piece.segment().to() + " of "
                        + telling.ofChain(piece.segment().origin()) + " ("
                        + folder.path().relativize(piece.file()) + "): " + why.getOrDefault(piece, "not taken"))
                .toList();
    }

    private boolean isHere(Segment segment) {
        return segment.ends().stream().allMatch(log::holds);
    }

    private boolean isNext(Segment segment) {
        return segment.from() == 1
                || !log.chain(segment.origin(), segment.from() - 1, segment.from() - 1)
                        .isEmpty();
    }

    private String takeIn(SharedFolder.Piece piece) {
        try {
            byte[] file = Files.readAllBytes(piece.file());
            Segment now = Segment.read(file);
            if (!now.equals(piece.segment())) {
                return "it is being written anew";
            }
            taken += log.adopt(Segment.lines(file));
            return "";
        } catch (IOException gone) {
            return "it cannot be read (" + gone.getMessage() + ")";
        } catch (BadInput wrong) {
            return wrong.field() + ": " + wrong.remedy();
        } catch (IllegalArgumentException odd) {
            return "it is not what it says (" + odd.getMessage() + ")";
        }
    }

    /**
     * Where others know more of this machine's own chain than it does itself, its end was lost and may come back: going on
     * would make two branches.
     */
    private void leaveChainIfItWentOnElsewhere(SharedFolder.Seen seen) {
        log.own().ifPresent(own -> {
            boolean known = seen.notes().stream()
                    .flatMap(note -> note.heads().stream())
                    .anyMatch(head -> head.origin().equals(own.origin()) && !log.holds(head));
            boolean lies = seen.pieces().stream()
                    .map(SharedFolder.Piece::segment)
                    .anyMatch(piece -> piece.origin().equals(own.origin()) && !isHere(piece));
            if (known || lies) {
                log.leaveChain("others hold more of the chain before than this machine does");
            }
        });
    }

    /**
     * A chain of this machine that was written on elsewhere means that its disk was copied or put back. The other may still be at
     * work under this machine's id, so each takes a new one; what the old id said of itself stays, as of a machine that left.
     */
    private void becomeAnotherIfThereAreTwo(SharedFolder.Seen seen) {
        Set<String> mine = parted.stream()
                .map(Head::origin)
                .filter(membership.chains()::contains)
                .collect(Collectors.toCollection(TreeSet::new));
        if (!membership.parted().containsAll(mine)) {
            if (seen.notes().stream().anyMatch(note -> note.device().equals(membership.device()))) {
                folder.write(note(true));
            }
            keep(membership.as(Sharing.random(), mine));
        }
    }

    private void keep(Membership now) {
        if (!now.equals(membership)) {
            membership = now;
            membership.keep(config);
        }
    }

    private DeviceNote note(boolean left) {
        return new DeviceNote(
                membership.device(),
                membership.name(),
                log.clock().millis(),
                membership.chains(),
                log.heads(),
                // Who takes part no more must not keep names that others take out.
                left ? Map.of() : studio.people().named(),
                left);
    }

    Membership membership() {
        return membership;
    }

    private int takeNamesAndFiles(SharedFolder.Seen seen) {
        studio.views().catchUp();
        for (DeviceNote note : seen.notes()) {
            if (!note.device().equals(membership.device())) {
                Map<String, People.Named> people = new TreeMap<>(note.people());
                people.entrySet().removeIf(each -> !studio.isStillNamed(new ThingId(each.getKey()), each.getValue()));
                studio.people().take(people);
            }
        }
        troubles.addAll(studio.takeOutForgotten());
        int files = 0;
        Set<String> forgotten = studio.forgottenFiles();
        for (String sha : studio.attached().keySet()) {
            if (!forgotten.contains(sha)) {
                files += takeFile(sha) ? 1 : 0;
            }
        }
        return files;
    }

    private boolean takeFile(String sha) {
        try {
            Optional<Path> here = studio.attachments().file(sha);
            if (here.isPresent() && whole.seems(here.get(), sha)) {
                return false;
            }
            Optional<byte[]> there = folder.attached(sha);
            return there.isPresent() && studio.attachments().take(sha, there.get());
        } catch (IOException | LogTrouble notYet) {
            troubles.add("the photo or memo " + sha.substring(0, 8) + "…: " + notYet.getMessage());
            return false;
        }
    }

    // What goes.

    private int give(SharedFolder.Seen seen) {
        int given = 0;
        Map<String, List<SharedFolder.Piece>> byChain = seen.pieces().stream()
                .collect(Collectors.groupingBy(piece -> piece.segment().origin()));
        for (String chain : ends.keySet()) {
            List<SharedFolder.Piece> there = byChain.getOrDefault(chain, List.of());
            boolean parts = parted.stream().anyMatch(head -> head.origin().equals(chain));
            for (Stretch missing : parts ? notThereOfBranches(chain, there) : notThere(chain, there)) {
                given += write(chain, missing);
            }
            if (!parts) {
                join(chain, there);
            }
        }
        return given;
    }

    /** Places of a chain, both included. */
    private record Stretch(long from, long to) {}

    /** What of a chain lies in no whole piece. */
    private List<Stretch> notThere(String chain, List<SharedFolder.Piece> there) {
        long end = ends.getOrDefault(chain, 0L);
        List<Stretch> gaps = new ArrayList<>();
        long next = 1;
        List<Segment> sorted = there.stream()
                .map(SharedFolder.Piece::segment)
                // One that this log does not hold may be of another branch, and covers nothing.
                .filter(this::isHere)
                .sorted(Comparator.comparingLong(Segment::from))
                .toList();
        for (Segment piece : sorted) {
            if (piece.from() > next) {
                gaps.add(new Stretch(next, Math.min(piece.from() - 1, end)));
            }
            next = Math.max(next, piece.to() + 1);
        }
        gaps.add(new Stretch(next, end));
        return gaps.stream().filter(gap -> gap.from <= gap.to).toList();
    }

    /** The same where two branches stand at one place, so that places alone do not tell. */
    private List<Stretch> notThereOfBranches(String chain, List<SharedFolder.Piece> there) {
        long end = ends.getOrDefault(chain, 0L);
        List<Object> state = List.of(end, there);
        if (state.equals(complete.get(chain))) {
            return List.of();
        }
        List<Stretch> gaps = new ArrayList<>();
        for (long from = 1; from <= end; from += PIECE) {
            Stretch stretch = new Stretch(from, Math.min(end, from + PIECE - 1));
            Set<String> hashes = there.stream()
                    .filter(piece -> piece.segment().from() <= stretch.to
                            && piece.segment().to() >= stretch.from)
                    .flatMap(piece -> hashesIn(piece).stream())
                    .collect(Collectors.toSet());
            if (log.chain(chain, stretch.from, stretch.to).stream().anyMatch(line -> !hashes.contains(line.hash()))) {
                gaps.add(stretch);
            }
        }
        if (gaps.isEmpty()) {
            complete.put(chain, state);
        }
        return gaps;
    }

    /** None, where a piece that was whole a moment ago cannot be read any more: what was in it is given once more. */
    private static Set<String> hashesIn(SharedFolder.Piece piece) {
        try {
            return Segment.lines(Files.readAllBytes(piece.file())).stream()
                    .map(ForeignLine::hash)
                    .collect(Collectors.toSet());
        } catch (IOException | IllegalArgumentException gone) {
            return Set.of();
        }
    }

    /** Writes a stretch of a chain in pieces; returns how many events. */
    private int write(String chain, Stretch stretch) {
        int written = 0;
        for (long from = stretch.from; from <= stretch.to; from += PIECE) {
            List<Stored> lines = log.chain(chain, from, Math.min(stretch.to, from + PIECE - 1));
            written += write(lines);
        }
        return written;
    }

    /** As one piece, or in halves where it would be larger than a piece may be. */
    private int write(List<Stored> lines) {
        Segment piece = Segment.of(lines, membership.device());
        byte[] sealed = piece.sealed(lines);
        if (sealed.length > Segment.LARGEST / 2 && piece.from() < piece.to()) {
            long middle = (piece.from() + piece.to()) / 2;
            List<Stored> lower = lines.stream()
                    .filter(line -> line.envelope().oseq() <= middle)
                    .toList();
            List<Stored> upper = lines.stream()
                    .filter(line -> line.envelope().oseq() > middle)
                    .toList();
            return write(lower) + write(upper);
        }
        folder.write(piece, sealed);
        return lines.size();
    }

    /** Many small pieces of this machine's own become one; what was in them is never away in between. */
    private void join(String chain, List<SharedFolder.Piece> there) {
        List<SharedFolder.Piece> small = there.stream()
                .filter(piece -> piece.segment().by().equals(membership.device()))
                .filter(piece -> piece.segment().events() < PIECE / 2)
                .sorted(Comparator.comparingLong(piece -> piece.segment().from()))
                .toList();
        if (small.size() <= SMALL_PIECES) {
            return;
        }
        long from = small.get(0).segment().from();
        long to = small.stream().mapToLong(piece -> piece.segment().to()).max().orElse(0);
        write(chain, new Stretch(from, to));
        List<SharedFolder.Piece> without = folder.look().pieces().stream()
                .filter(piece -> piece.segment().origin().equals(chain) && !small.contains(piece))
                .toList();
        if (notThere(chain, without).stream().noneMatch(gap -> gap.to >= from && gap.from <= to)) {
            small.forEach(folder::remove);
        }
    }

    private int giveFiles() {
        int files = 0;
        Set<String> forgotten = studio.forgottenFiles();
        forgotten.forEach(folder::detach);
        for (String sha : studio.attached().keySet()) {
            if (!forgotten.contains(sha)) {
                files += giveFile(sha);
            }
        }
        return files;
    }

    /** Gives everything once more and says that this machine takes part no more. */
    void leave() {
        run(true);
        writeNote(folder.look(), true);
    }

    private int giveFile(String sha) {
        try {
            if (whole.seems(folder.place(sha), sha)) {
                return 0;
            }
            Optional<byte[]> here = studio.attachments().whole(sha);
            here.ifPresent(bytes -> folder.attach(sha, bytes));
            return here.isPresent() ? 1 : 0;
        } catch (IOException failed) {
            troubles.add(
                    "the photo or memo " + sha.substring(0, 8) + "… cannot be read here (" + failed.getMessage() + ")");
            return 0;
        }
    }

    private void writeNote(SharedFolder.Seen seen, boolean left) {
        keep(membership.with(log.own().stream().map(Head::origin).toList()));
        DeviceNote note = note(left);
        boolean news = DeviceNote.newest(seen.notes()).stream()
                .filter(before -> before.device().equals(note.device()))
                .allMatch(before -> note.saysOther(before) || note.at() - before.at() > NOTE_EVERY);
        if (news) {
            folder.write(note);
        }
    }

    private List<Exchanged.Differing> differing() {
        List<Exchanged.Differing> found = new ArrayList<>();
        for (EventId id : log.twice()) {
            List<Stored> lines = log.lines(id);
            Stored counts = lines.get(0);
            if (lines.stream().anyMatch(line -> !line.envelope().sameContent(counts.envelope()))) {
                found.add(
                        new Exchanged.Differing(lines.stream().map(Stored::pos).toList()));
            }
        }
        return found;
    }
}
