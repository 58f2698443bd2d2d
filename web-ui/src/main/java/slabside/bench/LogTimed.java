package slabside.bench;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.IntConsumer;
import slabside.ink.Ledger;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.log.Transfer;
import slabside.log.Verification;
import slabside.measure.Uncertain;
import slabside.views.StoryKey;
import slabside.views.Timeline;
import slabside.views.Views;

/** How long the log in a file takes, and the lists beside it. */
final class LogTimed {
    private static final int BATCH = 1_000;
    private static final int SINGLES = 4_000;
    private static final int WARMING_SINGLES = 5_000;
    private static final int FOLLOWED = 50_000;
    private static final int WARMING = 60_000;
    private static final int FOREIGN = 100_000;
    private static final int ASKED = 1_000;
    private static final long SEED = 7;

    private final Path folder;
    private final int events;
    private final BusyStudio studio;
    private final Figures figures;

    /** @param folder for what is made meanwhile */
    LogTimed(Path folder, int events, BusyStudio studio, Figures figures) {
        this.folder = folder;
        this.events = events;
        this.studio = studio;
        this.figures = figures;
    }

    /** The workshop whose log is measured. */
    static BusyStudio studio() {
        return new BusyStudio("", SEED, begun());
    }

    /** When its log begins, in ms. */
    private static long begun() {
        return Clock.systemUTC().millis() - 20L * 365 * 86_400_000;
    }

    /** Makes the log and measures it. */
    void measure(Path data, Path config) throws IOException {
        warm();
        try (SqlEventLog log = SqlEventLog.open(data, config, Clock.systemUTC(), new Random(SEED));
                BareTable bare = new BareTable(folder.resolve("bare.db"))) {
            fill(log, bare);
            figures.singles(oneByOne(log, bare, studio, SINGLES), "at most 3");
            anew(log, data);
            follow(log, data);
            try (Views views = Views.following(log, data)) {
                reading(log);
                questions(log, views);
                foreign(log, views);
            }
        }
    }

    /** What is measured runs for a while before, so that the JDK has compiled it, whatever the size. */
    private void warm() throws IOException {
        Path data = folder.resolve("warm");
        BusyStudio before = new BusyStudio("w", SEED, Clock.systemUTC().millis() - 5L * 365 * 86_400_000);
        try (SqlEventLog log =
                        SqlEventLog.open(data, folder.resolve("warm-config"), Clock.systemUTC(), new Random(SEED));
                BareTable bare = new BareTable(folder.resolve("warm.db"))) {
            for (int done = 0; done < WARMING; done += BATCH) {
                bare.insert(log.append(Decision.of(before.next(BATCH))).stored());
            }
            try (Views views = Views.following(log, data)) {
                views.catchUp();
            }
            oneByOne(log, bare, before, WARMING_SINGLES);
        }
    }

    /** Fills the log in batches, each beside the same rows in a bare table; the first tenth is not counted. */
    private void fill(SqlEventLog log, BareTable bare) {
        long ours = 0;
        long floor = 0;
        int counted = 0;
        for (int done = 0; done < events; done += BATCH) {
            List<Draft> batch = studio.next(BATCH);
            long start = System.nanoTime();
            List<Stored> stored = log.append(Decision.of(batch)).stored();
            long middle = System.nanoTime();
            bare.insert(stored);
            long end = System.nanoTime();
            if (done >= events / 10) {
                ours += middle - start;
                floor += end - middle;
                counted += BATCH;
            }
        }
        figures.compared(
                "append in batches of 1,000",
                counted / (ours / 1e9),
                counted / (floor / 1e9),
                "events/s",
                (double) ours / floor,
                "at most 2.5");
    }

    private static SinglesTimed oneByOne(SqlEventLog log, BareTable bare, BusyStudio studio, int count) {
        try {
            return SinglesTimed.measure(log, studio, 0, count, row -> bare.insert(List.of(row)));
        } catch (SQLException failed) {
            throw new LogTrouble("The bench table cannot be written: " + failed.getMessage(), failed);
        }
    }

    private void anew(SqlEventLog log, Path data) {
        long start = System.nanoTime();
        try (Views views = Views.following(log, data)) {
            views.catchUp();
            figures.row(
                    "lists made anew from the log, warm", log.last() / seconds(start), "events/s", "at least 30,000");
        }
    }

    /** Events that were written while nobody followed. */
    private void follow(SqlEventLog log, Path data) {
        for (int done = 0; done < FOLLOWED; done += BATCH) {
            log.append(Decision.of(studio.next(BATCH)));
        }
        long start = System.nanoTime();
        try (Views views = Views.following(log, data)) {
            views.catchUp();
            figures.row("lists follow the log", FOLLOWED / seconds(start), "events/s", "at least 15,000");
        }
    }

    /** Events of another machine, as a file that was exported there, until they can be seen here. */
    private void foreign(SqlEventLog log, Views views) throws IOException {
        Path exported = folder.resolve("other.jsonl");
        BusyStudio other = new BusyStudio("b", SEED + 1, Clock.systemUTC().millis() - 10L * 365 * 86_400_000);
        try (SqlEventLog theirs = SqlEventLog.open(
                        folder.resolve("other"),
                        folder.resolve("other-config"),
                        Clock.systemUTC(),
                        new Random(SEED + 1));
                OutputStream file = new BufferedOutputStream(Files.newOutputStream(exported))) {
            for (int done = 0; done < FOREIGN; done += BATCH) {
                theirs.append(Decision.of(other.next(BATCH)));
            }
            Transfer.export(theirs, file);
        }
        long start = System.nanoTime();
        int taken = Transfer.adopt(log, exported);
        views.catchUp();
        if (taken <= FOREIGN) {
            throw new LogTrouble("only " + taken + " events were brought in");
        }
        figures.row(FOREIGN + " events of another machine brought in and seen", seconds(start), "s", "at most 10 s");
    }

    private static double seconds(long start) {
        return (System.nanoTime() - start) / 1e9;
    }

    private void reading(SqlEventLog log) {
        Path file = Path.of(log.place());
        long bytes = BareTable.scan(file);
        double floor = bytes / 1e6 / again(() -> BareTable.scan(file));
        double verified = bytes / 1e6 / again(() -> refuseWrong(log.verifyChains()));
        double whole = bytes / 1e6 / again(() -> refuseWrong(log.verify()));
        figures.row("verified, with the pages and indexes around the events", whole, "MB/s", "");
        figures.compared(
                "verified, every event against its chain", verified, floor, "MB/s", verified / floor, "at least 0.5");
        long start = System.nanoTime();
        long read = 0;
        for (long pos = 0; pos < log.last(); ) {
            List<Stored> some = log.read(pos, 5_000);
            for (Stored stored : some) {
                stored.envelope().event();
            }
            read += some.size();
            pos = some.get(some.size() - 1).pos();
        }
        figures.row("read as typed events", read / seconds(start), "events/s", "at least 100,000");
    }

    /** Seconds that one of as many as fit into a second takes, at least one, after another second of them. */
    private static double again(Runnable work) {
        double once = 0;
        for (int round = 0; round < 2; round++) {
            int done = 0;
            long start = System.nanoTime();
            do {
                work.run();
                done++;
            } while (seconds(start) < 1);
            once = seconds(start) / done;
        }
        return once;
    }

    private static void refuseWrong(Verification found) {
        found.wrong().ifPresent(wrong -> {
            throw new LogTrouble("The bench log does not verify: " + wrong.what());
        });
    }

    private void questions(SqlEventLog log, Views views) {
        Random random = new Random(SEED);
        asked("newest 50 events", "at most 10", i -> views.timeline(Timeline.Filter.newest(50)));
        long first = begun();
        asked("any later page of 50", "at most 10", i -> {
            long at = first + (long) (random.nextDouble() * events * 50_000);
            views.timeline(Timeline.Filter.newest(50).between(0, at + 1));
        });
        long knownFrom = log.at(1).orElseThrow().envelope().recorded();
        long knownFor = log.at(log.last()).orElseThrow().envelope().recorded() - knownFrom;
        asked("the timeline as it was known at any moment", "at most 200", i -> {
            long known = knownFrom + (long) (random.nextDouble() * knownFor);
            long until = i % 2 == 0 ? Long.MAX_VALUE : first + (long) (random.nextDouble() * events * 50_000);
            views.timeline(Timeline.Filter.newest(50).between(first, until).asKnown(known));
        });
        asked(
                "what a mix held, as it was known at any moment",
                "at most 200",
                i -> new Ledger(
                                views.asKnown(knownFrom + (long) (random.nextDouble() * knownFor)),
                                load -> new Uncertain(0.4, 0.2))
                        .at(studio.mix(random.nextInt(events / 70)), StoryKey.LAST));
        asked(
                "one vessel's story",
                "at most 10",
                i -> views.timeline(Timeline.Filter.newest(50).about(studio.mix(random.nextInt(events / 70)))));
        asked(
                "a search",
                "at most 10",
                i -> views.timeline(Timeline.Filter.newest(50).searching(i % 2 == 0 ? "warmer" : "grey job")));
        Ledger ledger = new Ledger(views, load -> new Uncertain(0.4, 0.2));
        StoryKey deepest = StoryKey.LAST;
        asked("shares through 10 levels", "at most 5", i -> {
            Ledger fresh = new Ledger(views, load -> new Uncertain(0.4, 0.2));
            if (fresh.at(studio.deep(), deepest).isEmpty()) {
                throw new LogTrouble("the deep mix is empty");
            }
        });
        asked(
                "ink on a load at its last pull",
                "",
                i -> ledger.justBefore(studio.load(random.nextInt(events / 70)), List.of(StoryKey.LAST)));
    }

    private void asked(String what, String target, IntConsumer question) {
        long[] times = new long[ASKED];
        for (int i = -200; i < ASKED; i++) {
            long start = System.nanoTime();
            question.accept(i);
            if (i >= 0) {
                times[i] = System.nanoTime() - start;
            }
        }
        Arrays.sort(times);
        figures.row(what + ", p50", times[ASKED / 2] / 1e6, "ms", "");
        figures.row(what + ", p99", times[ASKED * 99 / 100] / 1e6, "ms", target.isEmpty() ? "" : target + " ms");
    }
}
