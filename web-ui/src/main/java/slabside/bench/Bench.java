package slabside.bench;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.function.IntConsumer;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Illuminant;
import slabside.colour.InkFilm;
import slabside.colour.Light;
import slabside.colour.Observer;
import slabside.colour.Overprint;
import slabside.colour.RecipeSearch;
import slabside.colour.Separation;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Ledger;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.log.Transfer;
import slabside.log.Verification;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.studio.Studio;
import slabside.views.StoryKey;
import slabside.views.Timeline;
import slabside.views.Views;

/** Makes a large log and measures everything a user waits for, each beside its floor, in one run. */
public final class Bench {
    private static final int PLAN_INKS = 10;
    private static final int PLAN_PIXELS = 57_600;
    private static final int RECIPE_INKS = 12;
    private static final int RECIPE_TARGETS = 11;
    private static final int CANDIDATES = 1_000_000;

    private static final int BATCH = 1_000;
    private static final int SINGLES = 4_000;
    private static final int WARMING_SINGLES = 5_000;
    private static final int FOLLOWED = 50_000;
    private static final int WARMING = 60_000;
    private static final int MOST_OF_A_QUERY = 80;
    private static final int FOREIGN = 100_000;
    private static final int ASKED = 1_000;
    private static final long SEED = 7;

    private final Path folder;
    private final int events;
    private final List<List<String>> rows = new ArrayList<>();

    private final Serving serving;

    private Bench(Path folder, int events, Serving serving) {
        this.folder = folder;
        this.events = events;
        this.serving = serving;
    }

    /** Serves the pages of a studio. */
    @FunctionalInterface
    public interface Serving {
        Pages of(Studio studio);
    }

    /** Pages that are served. */
    public interface Pages extends AutoCloseable {
        String address();

        @Override
        void close();
    }

    /** Runs in a folder that is made and taken away again. */
    public static Answer run(Path under, int events, Serving serving) {
        try {
            Path folder = Files.createTempDirectory(Files.createDirectories(under), "slabside-bench-");
            try {
                return new Bench(folder, events, serving).measure();
            } finally {
                try (var files = Files.walk(folder)) {
                    for (Path file :
                            files.sorted(java.util.Comparator.reverseOrder()).toList()) {
                        Files.delete(file);
                    }
                }
            }
        } catch (IOException failed) {
            throw new LogTrouble("The bench needs a folder it may write: " + failed.getMessage(), failed);
        }
    }

    private Answer measure() throws IOException {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        BusyStudio studio = new BusyStudio("", SEED, Clock.systemUTC().millis() - 20L * 365 * 86_400_000);
        warm();
        try (SqlEventLog log = SqlEventLog.open(data, config, Clock.systemUTC(), new Random(SEED));
                BareTable bare = new BareTable(folder.resolve("bare.db"))) {
            fill(log, bare, studio);
            singles(log, bare, studio);
            anew(log, data);
            follow(log, data, studio);
            try (Views views = Views.following(log, data)) {
                reading(log);
                questions(log, views, studio);
                foreign(log, views);
            }
        }
        ThingId run;
        ThingId another;
        ThingId mix = studio.mix(1);
        try (Studio whole = Studio.open(data, config, Clock.systemUTC());
                Pages pages = serving.of(whole)) {
            whole.views().catchUp();
            run = TapsAnswered.planned(whole, whole.ids().thing("run"));
            another = TapsAnswered.planned(whole, whole.ids().thing("run"));
            pages(pages, studio);
            for (TapsAnswered.Times each : new TapsAnswered(pages.address()).measure(whole)) {
                row(each.what() + ", p50", each.millis(50), "ms", "", "");
                row(each.what() + ", p99", each.millis(99), "ms", "", "at most 100 ms");
            }
            ThingId edition = AuditTimed.printed(whole);
            long[] audited = AuditTimed.measure(whole, edition);
            row("audit of 8 runs of 120 pulls, asked first", audited[0] / 1e6, "ms", "", "at most 1000 ms");
            row("audit of 8 runs of 120 pulls, p50", audited[audited.length / 2] / 1e6, "ms", "", "");
            row(
                    "audit of 8 runs of 120 pulls, slowest",
                    audited[audited.length - 1] / 1e6,
                    "ms",
                    "",
                    "at most 1000 ms");
            PapersTimed papers = new PapersTimed(whole, pages.address());
            PapersTimed.Made sheets = papers.edition(edition);
            row(
                    "documentation and run sheets of 8 runs of 120 sheets",
                    sheets.time() / 1e6,
                    "ms",
                    "",
                    "at most 5000 ms");
            row("size of these papers", sheets.bytes() / 1e6, "MB", "", "at most 2 MB");
            PapersTimed.Made labels = papers.labels();
            row("500 labels", labels.time() / 1e6, "ms", "", "at most 10000 ms");
            row("size of 500 labels", labels.bytes() / 1e6, "MB", "", "");
            HelperTimed.Times helper = HelperTimed.measure(whole);
            row("a plugin's process, first call", helper.first() / 1e6, "ms", "", "at most 400 ms");
            row("a plugin's process, call of nothing, p50", helper.nothing() / 1e6, "ms", "", "");
            row(
                    "a plugin's process, asked 100 times before, 1,000 entries read, p50",
                    helper.thousand() / 1e6,
                    "ms",
                    "",
                    "at most 10 ms");
            row(
                    "a plugin's process, asked 100 times before, 1,000 entries read, p99",
                    helper.slow() / 1e6,
                    "ms",
                    "",
                    "");
        }
        StartTimed start = new StartTimed(data, config);
        row("from the start of the program to its first page", start.untilFirstPage(), "ms", "", "");
        resident("heap of 64 MB", start.residentMegabytes(StartTimed.SMALL_HEAP, run, mix));
        resident("started for scarce memory", start.residentMegabytes(StartTimed.SCARCE_MEMORY, another, mix));
        films();
        Runtime runtime = Runtime.getRuntime();
        System.gc();
        row(
                "heap in use at the end",
                (runtime.totalMemory() - runtime.freeMemory()) / 1e6,
                "MB",
                "limit " + runtime.maxMemory() / 1_000_000 + " MB",
                "");
        return Answer.titled("Bench, " + events + " events")
                .text("Java " + Runtime.version() + ", " + runtime.availableProcessors() + " processors, "
                        + System.getProperty("os.name") + " " + System.getProperty("os.arch") + ", SQLite file on "
                        + Files.getFileStore(folder).type())
                .with(new Answer.Table("", List.of("what", "measured", "unit", "floor", "ratio"), rows));
    }

    /** What is measured runs for a while before, so that the JDK has compiled it, whatever the size. */
    private void warm() throws IOException {
        Path data = folder.resolve("warm");
        BusyStudio studio = new BusyStudio("w", SEED, Clock.systemUTC().millis() - 5L * 365 * 86_400_000);
        try (SqlEventLog log =
                        SqlEventLog.open(data, folder.resolve("warm-config"), Clock.systemUTC(), new Random(SEED));
                BareTable bare = new BareTable(folder.resolve("warm.db"))) {
            for (int done = 0; done < WARMING; done += BATCH) {
                bare.insert(log.append(Decision.of(studio.next(BATCH))).stored());
            }
            try (Views views = Views.following(log, data)) {
                views.catchUp();
            }
            oneByOne(log, bare, studio, WARMING_SINGLES);
        }
    }

    /** Candidates of a recipe: film, tristimulus values, CIELAB and ΔE00 over 36 bands, on one thread. */
    private void films() {
        Light light = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        double[] flat = new double[Bands.COUNT];
        Arrays.fill(flat, 0.85);
        Bands paper = Bands.of(flat);
        List<InkFilm> shelf = new ArrayList<>();
        for (int ink = 0; ink < RECIPE_INKS; ink++) {
            double[] over = new double[Bands.COUNT];
            for (int band = 0; band < Bands.COUNT; band++) {
                over[band] = 0.05 + 0.8 * StrictMath.abs(StrictMath.sin((band + 9 * ink) / 12.0));
            }
            shelf.add(InkFilm.overWhite(Bands.of(over), paper));
        }
        List<InkFilm> inks = shelf.subList(0, 3);
        CieLab target = new CieLab(55, 20, -10);
        RecipeSearch.compared(inks, paper, light, target, CANDIDATES);
        long start = System.nanoTime();
        double sum = RecipeSearch.compared(inks, paper, light, target, CANDIDATES);
        double seconds = (System.nanoTime() - start) / 1e9;
        if (!(sum > 0)) {
            throw new LogTrouble("the films were compared with nothing");
        }
        row("film candidates of three inks, one thread", CANDIDATES / seconds, "films/s", "", "at least 1,000,000");
        double[] took = new double[RECIPE_TARGETS];
        for (int n = 0; n < RECIPE_TARGETS; n++) {
            // Some of them can be made, some are out of reach.
            CieLab wanted = new CieLab(40 + 5 * n, 40 * StrictMath.cos(n), 40 * StrictMath.sin(n));
            long began = System.nanoTime();
            RecipeSearch.search(shelf, paper, light, wanted, 4, 0.5, 5);
            took[n] = (System.nanoTime() - began) / 1e6;
        }
        Arrays.sort(took);
        row("recipe of at most 4 of 12 inks, p50", took[RECIPE_TARGETS / 2], "ms", "", "");
        row("recipe of at most 4 of 12 inks, slowest", took[RECIPE_TARGETS - 1], "ms", "", "at most 200 ms");
        plan(shelf.subList(0, PLAN_INKS), paper, light);
    }

    /** Four runs of ten inks for 32 colours of a picture, as a calculator plans them, beside the best of 100 by chance. */
    private void plan(List<InkFilm> shelf, Bands paper, Light light) {
        Random random = new Random(1);
        List<CieLab> pixels = new ArrayList<>();
        for (int i = 0; i < PLAN_PIXELS; i++) {
            pixels.add(
                    new CieLab(30 + 60 * random.nextDouble(), 25 * random.nextGaussian(), 25 * random.nextGaussian()));
        }
        long began = System.nanoTime();
        Separation separation = new Separation(
                shelf, new double[] {0.5, 0.25, 0.12, 0.06, 0.03}, paper, Overprint.onPaperWithBlack(0.02), light);
        Separation.Palette palette = Separation.Palette.of(pixels, 32, 1);
        Separation.Plan plan = separation.plan(palette, 4, 1, done -> {});
        row("plan of 4 runs of 10 inks", (System.nanoTime() - began) / 1e9, "s", "", "at most 60 s");
        double chance = Double.MAX_VALUE;
        for (int n = 0; n < 100; n++) {
            chance = Math.min(chance, separation.chance(palette, 4, random).off());
        }
        compared("mean ΔE00 of that plan", plan.off(), chance, "ΔE00", plan.off() / chance, "best of 100 by chance");
    }

    private void resident(String how, double megabytes) {
        if (megabytes > 0) {
            row("memory of the process, " + how + ", timeline and pulls", megabytes, "MB", "", "aim 130 MB");
        }
    }

    private static String brief(String sql) {
        return sql.length() > MOST_OF_A_QUERY ? sql.substring(0, MOST_OF_A_QUERY) + "…" : sql;
    }

    private void row(String what, double measured, String unit, String floor, String ratio) {
        rows.add(List.of(what, shown(measured), unit, floor, ratio));
    }

    private static String shown(double value) {
        return Drawn.fixed(value, value >= 1000 ? 0 : value >= 10 ? 1 : 3);
    }

    private void compared(String what, double measured, double floor, String unit, double ratio, String target) {
        row(what, measured, unit, shown(floor), String.format(Locale.ROOT, "%.2f (%s)", ratio, target));
    }

    /** Fills the log in batches, each beside the same rows in a bare table; the first tenth is not counted. */
    private void fill(SqlEventLog log, BareTable bare, BusyStudio studio) {
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
        compared(
                "append in batches of 1,000",
                counted / (ours / 1e9),
                counted / (floor / 1e9),
                "events/s",
                (double) ours / floor,
                "at most 2.5");
    }

    private void singles(SqlEventLog log, BareTable bare, BusyStudio studio) {
        SinglesTimed times = oneByOne(log, bare, studio, SINGLES);
        for (int percent : new int[] {50, 99}) {
            compared(
                    "one event acknowledged, p" + percent,
                    times.millis(percent),
                    times.floorMillis(percent),
                    "ms",
                    times.ratio(percent),
                    percent == 50 ? "at most 1.5" : "at most 3");
        }
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
            row("lists made anew from the log, warm", log.last() / seconds(start), "events/s", "", "at least 30,000");
        }
    }

    /** Events that were written while nobody followed. */
    private void follow(SqlEventLog log, Path data, BusyStudio studio) {
        for (int done = 0; done < FOLLOWED; done += BATCH) {
            log.append(Decision.of(studio.next(BATCH)));
        }
        long start = System.nanoTime();
        try (Views views = Views.following(log, data)) {
            views.catchUp();
            row("lists follow the log", FOLLOWED / seconds(start), "events/s", "", "at least 15,000");
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
        row(FOREIGN + " events of another machine brought in and seen", seconds(start), "s", "", "at most 10 s");
    }

    private void pages(Pages served, BusyStudio studio) {
        int job = studio.jobs() / 2;
        ThingId mix = studio.mix(job);
        ThingId run = studio.run(job);
        ThingId edition = studio.edition(job / 5);
        List<String> paths = new ArrayList<>(List.of(
                "/today",
                "/bench",
                "/press",
                "/timeline",
                "/write",
                "/editions",
                "/stones",
                "/shelf",
                "/calculators",
                "/documents",
                "/safekeeping",
                "/devices",
                "/sharing",
                "/plugins"));
        for (String narrowed : List.of(
                "kind=ink",
                "kind=plugin",
                "q=warmer",
                "q=nothinglikeit",
                "person=person-bench",
                "view=difference",
                "view=recorded",
                "known=2026-01-01",
                "thing=" + mix,
                "thing=can-3",
                "thing=" + studio.sheet(job / 5, 3),
                "kind=log&from=2020-01-01",
                "q=misread&thing=" + mix,
                "kind=press&person=person-nobody")) {
            paths.add("/timeline?" + narrowed);
        }
        for (ThingId thing :
                List.of(mix, run, studio.load(job), new ThingId("can-3"), studio.sheet(job / 5, 3), studio.deep())) {
            paths.add("/thing/" + thing);
        }
        paths.addAll(List.of(
                "/bench/" + mix,
                "/press/" + run,
                "/press/" + run + "/sheet",
                "/edition/" + edition,
                "/edition/" + edition + "/curate",
                "/edition/" + edition + "/number",
                "/thing/" + mix + "/rebuild?grams=100",
                "/thing/" + mix + "/trace",
                "/thing/" + studio.someCan() + "/trace",
                "/thing/can-0",
                "/calculators/labels",
                "/find?label=nothing+like+it",
                "/thing/" + mix + "/weighings",
                "/event/" + 60L * job,
                "/find?label=E1-1",
                "/find?label=A7KC"));
        PagesTimed.Times times = new PagesTimed(served.address()).measure(paths);
        times.pages()
                .forEach(page -> row(
                        "slowest of " + paths.size() + " pages, each the best of five: " + page.getKey(),
                        page.getValue() / 1e6,
                        "ms",
                        "",
                        ""));
        times.queries()
                .forEach(query -> row(
                        "slowest query of these pages, each the best of five: " + brief(query.getKey()),
                        query.getValue() / 1e6,
                        "ms",
                        "",
                        "at most 50 ms"));
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
        row("verified, with the pages and indexes around the events", whole, "MB/s", "", "");
        compared("verified, every event against its chain", verified, floor, "MB/s", verified / floor, "at least 0.5");
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
        row("read as typed events", read / seconds(start), "events/s", "", "at least 100,000");
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

    private void questions(SqlEventLog log, Views views, BusyStudio studio) {
        Random random = new Random(SEED);
        asked("newest 50 events", "at most 10", i -> views.timeline(Timeline.Filter.newest(50)));
        long first = Clock.systemUTC().millis() - 20L * 365 * 86_400_000;
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
        row(what + ", p50", times[ASKED / 2] / 1e6, "ms", "", "");
        row(what + ", p99", times[ASKED * 99 / 100] / 1e6, "ms", "", target.isEmpty() ? "" : target + " ms");
    }
}
