package slabside.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.plugin.Answer;
import slabside.studio.Studio;
import slabside.studio.WholeFolder;

/** Makes a large log and measures everything a user waits for, each beside its floor, in one run. */
public final class Bench {
    private static final int MOST_OF_A_QUERY = 80;

    private final Path folder;
    private final int events;
    private final Figures figures = new Figures();

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
                WholeFolder.delete(folder);
            }
        } catch (IOException failed) {
            throw new LogTrouble("The bench needs a folder it may write: " + failed.getMessage(), failed);
        }
    }

    private Answer measure() throws IOException {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        BusyStudio studio = LogTimed.studio();
        new LogTimed(folder, events, studio, figures).measure(data, config);
        ThingId run;
        ThingId scarceRun;
        ThingId mix = studio.mix(1);
        try (Studio whole = Studio.open(data, config, Clock.systemUTC());
                Pages pages = serving.of(whole)) {
            whole.views().catchUp();
            run = TapsAnswered.planned(whole, whole.ids().thing("run"));
            scarceRun = TapsAnswered.planned(whole, whole.ids().thing("run"));
            pages(pages, studio);
            for (TapsAnswered.Times each : new TapsAnswered(pages.address()).measure(whole)) {
                figures.row(each.what() + ", p50", each.millis(50), "ms", "");
                figures.row(each.what() + ", p99", each.millis(99), "ms", "at most 100 ms");
            }
            ThingId edition = AuditTimed.printed(whole);
            long[] audited = AuditTimed.measure(whole, edition);
            figures.row("audit of 8 runs of 120 pulls, asked first", audited[0] / 1e6, "ms", "at most 1000 ms");
            figures.row("audit of 8 runs of 120 pulls, p50", audited[audited.length / 2] / 1e6, "ms", "");
            figures.row(
                    "audit of 8 runs of 120 pulls, slowest",
                    audited[audited.length - 1] / 1e6,
                    "ms",
                    "at most 1000 ms");
            PapersTimed papers = new PapersTimed(whole, pages.address());
            PapersTimed.Made sheets = papers.edition(edition);
            figures.row(
                    "documentation and run sheets of 8 runs of 120 sheets",
                    sheets.time() / 1e6,
                    "ms",
                    "at most 5000 ms");
            figures.row("size of these papers", sheets.bytes() / 1e6, "MB", "at most 2 MB");
            PapersTimed.Made labels = papers.labels();
            figures.row("500 labels", labels.time() / 1e6, "ms", "at most 10000 ms");
            figures.row("size of 500 labels", labels.bytes() / 1e6, "MB", "");
            HelperTimed.Times helper = HelperTimed.measure(whole);
            figures.row("a plugin's process, first call", helper.first() / 1e6, "ms", "at most 400 ms");
            figures.row("a plugin's process, call of nothing, p50", helper.nothing() / 1e6, "ms", "");
            figures.row(
                    "a plugin's process, asked 100 times before, 1,000 entries read, p50",
                    helper.thousand() / 1e6,
                    "ms",
                    "at most 10 ms");
            figures.row(
                    "a plugin's process, asked 100 times before, 1,000 entries read, p99",
                    helper.slow() / 1e6,
                    "ms",
                    "");
        }
        StartTimed start = new StartTimed(data, config);
        figures.row("from the start of the program to its first page", start.untilFirstPage(), "ms", "");
        figures.row("the same, where the lists are made anew before", start.withListsMadeAnew(), "s", "");
        resident("heap of 64 MB", start.residentMegabytes(StartTimed.SMALL_HEAP, run, mix));
        resident("started for scarce memory", start.residentMegabytes(StartTimed.SCARCE_MEMORY, scarceRun, mix));
        new ColourTimed(figures).films();
        Runtime runtime = Runtime.getRuntime();
        System.gc();
        figures.row(
                "heap in use at the end",
                (runtime.totalMemory() - runtime.freeMemory()) / 1e6,
                "MB",
                "of " + runtime.maxMemory() / 1_000_000 + " MB");
        return Answer.titled("Bench, " + events + " events")
                .text("Java " + Runtime.version() + ", " + runtime.availableProcessors() + " processors, "
                        + System.getProperty("os.name") + " " + System.getProperty("os.arch") + ", SQLite file on "
                        + Files.getFileStore(folder).type())
                .with(figures.table());
    }

    private void resident(String how, double megabytes) {
        if (megabytes > 0) {
            figures.row("memory of the process, " + how + ", timeline and pulls", megabytes, "MB", "aim 130 MB");
        }
    }

    private static String brief(String sql) {
        return sql.length() > MOST_OF_A_QUERY ? sql.substring(0, MOST_OF_A_QUERY) + "…" : sql;
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
                .forEach(page -> figures.row(
                        "slowest of " + paths.size() + " pages, each the best of five: " + page.getKey(),
                        page.getValue() / 1e6,
                        "ms",
                        ""));
        times.queries()
                .forEach(query -> figures.row(
                        "slowest query of these pages, each the best of five: " + brief(query.getKey()),
                        query.getValue() / 1e6,
                        "ms",
                        "at most 50 ms"));
    }
}
