package slabside.web;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import slabside.demo.Demo;
import slabside.edition.Run;
import slabside.event.Actor;
import slabside.event.ThingId;
import slabside.host.Answers;
import slabside.host.Drawn;
import slabside.ink.Contents;
import slabside.ink.Rebuild;
import slabside.keeping.Backups;
import slabside.log.Decision;
import slabside.log.LogTrouble;
import slabside.log.SqlEventLog;
import slabside.log.StudioLock;
import slabside.log.Transfer;
import slabside.log.Verification;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;
import slabside.notebook.Notebook;
import slabside.notebook.NotebookReader;
import slabside.plugin.Answer;
import slabside.studio.Attachments;
import slabside.studio.Studio;
import slabside.studio.Synchronised;
import slabside.views.StoryKey;
import slabside.views.Thing;

/** Every command; each opens the studio, does one thing and closes it. */
@Command(
        name = "slabside",
        description = "A studio log for hand lithographers: every ink written down, any past colour made again.",
        subcommands = {
            PluginCommands.class,
            CalculateCommand.class,
            ArchiveCommand.class,
            ShareCommand.class,
            RestoreCommand.class,
            BenchCommand.class,
            PracticeCommand.class
        },
        mixinStandardHelpOptions = true,
        versionProvider = Commands.Version.class,
        synopsisSubcommandLabel = "COMMAND")
final class Commands implements Runnable {
    private static final Pattern ADDRESS = Pattern.compile("http://127\\.0\\.0\\.1:\\d+");
    static final int USUAL_PORT = 4173;
    static final int NETWORK_PORT = 4174;

    final PrintStream out;
    final PrintStream err;

    Commands(PrintStream out, PrintStream err) {
        this.out = out;
        this.err = err;
    }

    /** Says which version this is. */
    static final class Version implements picocli.CommandLine.IVersionProvider {
        @Override
        public String[] getVersion() {
            String version = Main.class.getPackage().getImplementationVersion();
            return new String[] {"Slabside " + (version == null ? "(not packaged)" : version)};
        }
    }

    /** In which form to print a result. */
    static final class Form {
        @Option(
                names = "--format",
                paramLabel = "FORM",
                defaultValue = "text",
                description = "text, json or csv (default: ${DEFAULT-VALUE})")
        String format = "text";
    }

    @Override
    public void run() {
        out.println(
                "Slabside writes down what happens to ink, from the can to the print, and gives any past colour back.");
        out.println(
                "Commands: demo, serve, import, export, archive, share, backup, restore, verify, rebuild, trace, audit, calculate, plugins, bench. See: slabside COMMAND --help");
    }

    private static Clock clock() {
        return Clock.systemDefaultZone();
    }

    /** Opens the studio for reading: as the one process when none has it, beside the one that has. */
    Studio forReading(Where where) {
        where.mustBeThere();
        Studio studio;
        if (StudioLock.isHeld(where.data()) || !where.mayBeWritten()) {
            studio = where.openToRead(clock());
        } else {
            studio = where.open(clock());
            studio.takeOutForgotten().forEach(trouble -> err.println("slabside: " + trouble));
            studio.log().notices().forEach(notice -> err.println("slabside: " + notice));
        }
        studio.views().catchUp();
        return studio;
    }

    Studio forWriting(Where where) {
        Studio studio = where.open(clock());
        Synchronised.warning(where.data(), where.config())
                .ifPresent(warning ->
                        err.println("slabside: " + warning + " If it may stay there, say so once on that page."));
        studio.log().notices().forEach(notice -> err.println("slabside: " + notice));
        studio.views().catchUp();
        return studio;
    }

    private static Answers answers(Studio studio) {
        return new Answers(studio.views(), studio.runs(), studio.shelf(), studio::name, ZoneId.systemDefault());
    }

    @Command(description = "Makes an invented studio in a fresh folder and opens it.", mixinStandardHelpOptions = true)
    int demo(
            @Mixin Where where,
            @Option(names = "--no-serve", description = "only make it") boolean noServe,
            @Option(
                            names = "--port",
                            defaultValue = "0",
                            description = "port on this machine (default: any that is free)")
                    int port) {
        where.mustBeFolder("the demo is made in a folder; export it from there, and import it with --log");
        Path data = where.data == null ? Demo.freshFolder() : where.data;
        Demo.write(data, where.config(), LocalDate.now(ZoneId.systemDefault()), ZoneId.systemDefault());
        out.println("An invented studio, the Harrowmere Stone Room, is in " + data);
        out.println("Try:  slabside rebuild \"Heron grey HG-2\" --grams 90 --data " + data);
        out.println("      slabside trace \"Slack water B2\" --data " + data);
        if (noServe) {
            return 0;
        }
        where.data = data;
        return serve(where, port, true, false, NETWORK_PORT);
    }

    /** Serves the usual studio at the usual port. */
    int serveAsUsual(boolean open) {
        return serve(new Where(), USUAL_PORT, open, false, NETWORK_PORT);
    }

    @Command(description = "Serves the pages on this machine until stopped.", mixinStandardHelpOptions = true)
    int serve(
            @Mixin Where where,
            @Option(
                            names = "--port",
                            defaultValue = "" + USUAL_PORT,
                            description = "port on this machine; 0 for any that is free (default: ${DEFAULT-VALUE})")
                    int port,
            @Option(names = "--open", description = "open the page in the browser") boolean open,
            @Option(
                            names = "--network",
                            description = "let devices of the local network in that were paired (default: nobody)")
                    boolean network,
            @Option(
                            names = "--network-port",
                            defaultValue = "" + NETWORK_PORT,
                            description =
                                    "port for the local network; 0 for any that is free (default: ${DEFAULT-VALUE})")
                    int networkPort) {
        Optional<String> already = servedAt(where.data());
        if (already.isPresent()) {
            // Opened only to be refused where the folder is that of another studio.
            where.openLogToRead(clock()).close();
            out.println("Slabside is at " + already.get() + " already.");
            if (open) {
                Browser.open(already.get());
            }
            return 0;
        }
        Studio studio = forWriting(where);
        studio.takeOutForgotten().forEach(trouble -> err.println("slabside: " + trouble));
        Server server = Server.start(studio, port, network ? OptionalInt.of(networkPort) : OptionalInt.empty());
        Runtime.getRuntime().addShutdownHook(new Thread(() -> {
            try {
                server.close();
            } finally {
                studio.close();
            }
        }));
        studio.log().announce("the pages at " + server.address());
        out.println("Slabside is at " + server.address() + "  (stop with Ctrl-C)");
        if (network) {
            out.println("Other devices reach it at " + String.join(" ", server.networkAddresses()));
            out.println("Let one in at " + server.address() + "/devices");
        }
        if (open) {
            Browser.open(server.address());
        }
        StartArchive.ofThisImage().ifPresent(StartArchive::makeIfMissing);
        server.join();
        return 0;
    }

    /** Where another process shows the pages of a studio, if one does. */
    private static Optional<String> servedAt(Path data) {
        if (!StudioLock.isHeld(data)) {
            return Optional.empty();
        }
        Matcher address = ADDRESS.matcher(StudioLock.holder(data));
        return address.find() ? Optional.of(address.group()) : Optional.empty();
    }

    @Command(
            name = "import",
            description =
                    "Brings in a notebook saved as CSV, or a log exported as JSON Lines; shows first, writes with --write.",
            mixinStandardHelpOptions = true)
    int importFile(
            @Mixin Where where,
            @Parameters(paramLabel = "FILE", description = "notebook.csv or log.jsonl") Path file,
            @Option(names = "--write", description = "write it down; without this nothing is written") boolean write,
            @Option(
                            names = "--decimal",
                            paramLabel = "SIGN",
                            description = "point or comma; otherwise told from the file")
                    @Nullable
                    String decimal,
            @Option(names = "--new-cans", description = "cans that are not known yet may be new") boolean newCans,
            @Option(
                            names = "--by",
                            paramLabel = "PERSON",
                            defaultValue = "notebook",
                            description = "id of who wrote it (default: ${DEFAULT-VALUE})")
                    String by)
            throws IOException {
        if (!Files.isRegularFile(file)) {
            throw new BadInput("file", file, "there is no such file");
        }
        try (Studio studio = forWriting(where)) {
            if (isExportedLog(file)) {
                return adopt(studio, file, write);
            }
            Notebook notebook = NotebookReader.read(
                    Files.readAllBytes(file),
                    studio.views(),
                    new NotebookReader.Settings(
                            ZoneId.systemDefault(),
                            new Actor(new ThingId(by), "import"),
                            sign(decimal),
                            newCans,
                            clock().millis()));
            return notebook(studio, notebook, write);
        }
    }

    /** An exported log begins with a hash and a tab. */
    private static boolean isExportedLog(Path file) throws IOException {
        try (InputStream in = Files.newInputStream(file)) {
            return new String(in.readNBytes(65), java.nio.charset.StandardCharsets.ISO_8859_1)
                    .matches("[0-9a-f]{64}\t");
        }
    }

    private static Optional<Character> sign(@Nullable String decimal) {
        if (decimal == null) {
            return Optional.empty();
        }
        return switch (decimal) {
            case "point", "." -> Optional.of('.');
            case "comma", "," -> Optional.of(',');
            default -> throw new BadInput("--decimal", decimal, "use point or comma");
        };
    }

    private int adopt(Studio studio, Path file, boolean write) throws IOException {
        if (!write) {
            out.println(
                    "This is an exported log; " + Transfer.unknown(studio.log(), file)
                            + " of its events are not here yet. Nothing was written; run it again with --write to take them over.");
            return 0;
        }
        int fresh = Transfer.adopt(studio.log(), file);
        studio.views().catchUp();
        out.println(fresh + " events were new.");
        return 0;
    }

    private int notebook(Studio studio, Notebook notebook, boolean write) {
        notebook.remarks().forEach(remark -> out.println("  " + remark));
        if (!notebook.problems().isEmpty()) {
            notebook.problems().forEach(problem -> err.println("slabside: " + problem));
            err.println("slabside: nothing was imported; put these "
                    + notebook.problems().size() + " right and run it again.");
            return 2;
        }
        if (notebook.fresh() == 0) {
            out.println(notebook.rows() + " rows, all of them here already.");
            return 0;
        }
        String rows = notebook.fresh() == notebook.rows()
                ? notebook.rows() + " rows"
                : notebook.rows() + " rows, " + notebook.fresh() + " of them new,";
        if (!write) {
            out.println(rows + " would give " + notebook.drafts().size()
                    + " events. Nothing was written yet; run it again with --write.");
            return 0;
        }
        studio.append(Decision.of(notebook.drafts()));
        out.println(rows + " gave " + notebook.drafts().size() + " events, now in the log.");
        return 0;
    }

    @Command(description = "Writes the whole log as JSON Lines: hash, tab, event.", mixinStandardHelpOptions = true)
    int export(
            @Mixin Where where,
            @Parameters(paramLabel = "FILE", arity = "0..1", description = "where to (default: standard output)")
                    @Nullable
                    Path file)
            throws IOException {
        try (Studio studio = forReading(where)) {
            if (file == null) {
                Transfer.export(studio.log(), out);
                out.flush();
                return 0;
            }
            if (Files.exists(file)) {
                throw new BadInput("file", file, "it exists already; name a new one");
            }
            out.println(exported(studio, file) + " events written to " + file);
            return 0;
        }
    }

    @Command(
            description = "Makes a copy of the studio, which is read and verified before it counts.",
            mixinStandardHelpOptions = true)
    int backup(
            @Mixin Where where,
            @Option(
                            names = "--to",
                            paramLabel = "FOLDER",
                            description = "a folder on another disk (default: backups beside the log)")
                    @Nullable
                    Path to) {
        try (Studio studio = forReading(where)) {
            Backups.Made made = (to == null ? Backups.beside(studio.folder()) : Backups.in(to)).make(studio);
            out.println(made.verified().events() + " events, each as it was written, are in "
                    + made.copy().file()
                    + (made.files() == 0 ? "" : "; " + made.files() + " photos and memos beside it"));
            return 0;
        }
    }

    /** Written under another name first, so that half an export never looks like a whole one. */
    private static long exported(Studio studio, Path file) {
        Path unfinished = file.resolveSibling(file.getFileName() + ".unfinished");
        try {
            long events;
            try (OutputStream to = new BufferedOutputStream(Files.newOutputStream(unfinished))) {
                events = Transfer.export(studio.log(), to);
            }
            Files.move(unfinished, file);
            return events;
        } catch (IOException failed) {
            throw new BadInput(
                    "file",
                    file,
                    "it cannot be written here (" + failed.getMessage()
                            + "); name a file in a folder that exists, on a disk with room");
        }
    }

    @Command(
            description = "Reads the whole log and says whether every event is as it was written.",
            mixinStandardHelpOptions = true)
    int verify(@Mixin Where where, @Mixin Form form) {
        try (SqlEventLog log = where.openLogToRead(clock())) {
            Verification found = log.verify();
            Answer answer = Answer.titled("The log in " + where);
            answer = answer.quantity("Events read", found.events(), "", "");
            for (var head : found.heads()) {
                answer = answer.text("Chain " + head.origin() + " ends at event " + head.oseq() + ", fingerprint "
                        + head.fingerprint() + ".");
            }
            for (String notice : log.cut()) {
                answer = answer.caution(notice);
            }
            for (String gone : log.gone()) {
                answer = answer.caution(gone + ". Another machine or a backup may have them.");
            }
            Attachments.Check attached = Attachments.in(where.data()).check(log);
            answer = answer.quantity("Photos and memos named", attached.named(), "", "");
            if (attached.forgotten() > 0) {
                answer = answer.quantity("Of them taken out for good", attached.forgotten(), "", "");
            }
            for (String wrong : attached.wrong()) {
                answer = answer.caution("A gap: " + wrong + ".");
            }
            boolean good = found.wrong().isEmpty() && log.cut().isEmpty();
            answer = found.wrong()
                    .map(wrong -> "Wrong: " + wrong.what() + ".")
                    .map(answer::text)
                    .orElse(good ? answer.text("Every event is as it was written.") : answer);
            out.print(Drawn.as(form.format, answer));
            return good ? 0 : 1;
        }
    }

    @Command(
            description = "Makes a past ink again: shares, what to weigh out now, what has changed.",
            mixinStandardHelpOptions = true)
    int rebuild(
            @Mixin Where where,
            @Mixin Form form,
            @Parameters(paramLabel = "MIX", description = "name, short id or id of a mix; or of an edition with --run")
                    String what,
            @Option(names = "--grams", paramLabel = "G", required = true, description = "size of the batch")
                    String grams,
            @Option(
                            names = "--at",
                            paramLabel = "TIME",
                            description =
                                    "as it was then, such as 2024-05-31T14:05; otherwise as agreed, else as it ended")
                    @Nullable
                    String at,
            @Option(
                            names = "--run",
                            paramLabel = "N",
                            description = "the ink on the load when the OK proof of this edition went through run N")
                    @Nullable
                    Integer run,
            @Option(
                            names = "--side",
                            paramLabel = "N",
                            defaultValue = "1",
                            description = "which ink of a blend, counted from the left")
                    int side,
            @Option(
                            names = "--step",
                            paramLabel = "G",
                            description = "step of the scale (default: that of the one used last)")
                    @Nullable
                    String step) {
        Mass batch = mass("--grams", grams);
        try (Studio studio = forReading(where)) {
            Target target = run == null ? mix(studio, what, at) : okProof(studio, what, run, side);
            Mass scale = step == null ? studio.host().step() : mass("--step", step);
            Rebuild rebuild =
                    Rebuild.of(studio.views(), studio.ledger(), studio.shelf(), target.contents, batch, scale);
            out.print(Drawn.as(form.format, answers(studio).rebuild(rebuild, target.words)));
            return 0;
        }
    }

    private static Mass mass(String field, String typed) {
        Mass mass = Mass.ofGrams(field, Typed.decimal(field, typed));
        if (mass.milligrams() == 0) {
            throw new BadInput(field, typed, "give a mass above zero");
        }
        return mass;
    }

    private record Target(Contents contents, String words) {}

    private static Target mix(Studio studio, String what, @Nullable String at) {
        ThingId mix = studio.views().named("", what).id();
        if (at != null) {
            long millis = Times.endOf("--at", at, ZoneId.systemDefault());
            return new Target(
                    studio.ledger().at(mix, StoryKey.endOf(millis)),
                    "As it was at " + answers(studio).when(millis) + ".");
        }
        Rebuild.Moment moment = Rebuild.usual(studio.views(), mix);
        return new Target(studio.ledger().at(mix, moment.key()), moment.words());
    }

    private static Target okProof(Studio studio, String what, int order, int side) {
        ThingId edition = studio.views().named("edition", what).id();
        Run run = studio.runs().runOf(edition, order);
        Run.Pull pull = studio.runs().okPull(edition, order);
        List<Contents> loads = studio.runs().loadsAt(pull);
        if (side < 1 || side > loads.size()) {
            throw new BadInput("--side", side, "this run has " + loads.size() + (loads.size() == 1 ? " ink" : " inks"));
        }
        return new Target(
                loads.get(side - 1),
                "The ink on slab and roller when the OK proof went through run " + order + ", "
                        + answers(studio).when(pull.key().millis()) + ".");
    }

    @Command(
            description = "Where a can, lot, mix or packet came from and went, down to the prints.",
            mixinStandardHelpOptions = true)
    int trace(
            @Mixin Where where,
            @Mixin Form form,
            @Parameters(paramLabel = "THING", description = "name, lot, short id or id") String what) {
        try (Studio studio = forReading(where)) {
            List<Thing> cans = studio.views().exactly("can", what).stream()
                    .filter(can -> can.name().equals(what))
                    .toList();
            boolean lot =
                    cans.size() > 1 && cans.stream().map(Thing::of).distinct().count() == 1;
            out.print(Drawn.as(
                    form.format,
                    lot
                            ? answers(studio)
                                    .trace(
                                            "lot " + what + ", " + cans.size() + " cans",
                                            cans.stream().map(Thing::id).toList())
                            : answers(studio)
                                    .trace(studio.views().named("", what).id())));
            return 0;
        }
    }

    @Command(
            description = "Where a run or edition changed, what written down could have done it, what to try.",
            mixinStandardHelpOptions = true)
    int audit(
            @Mixin Where where,
            @Mixin Form form,
            @Parameters(paramLabel = "RUN", description = "a run or an edition: name or id") String what) {
        try (Studio studio = forReading(where)) {
            out.print(Drawn.as(
                    form.format, studio.host().ask(studio.host().calculator("what-went-wrong"), Map.of("run", what))));
            return 0;
        }
    }

    /** Makes the archive of an app image, from which it starts faster; done when an image is built. */
    @Command(
            name = "start-archive",
            hidden = true,
            description = "Makes the archive from which an image starts faster.")
    int startArchive() {
        StartArchive archive = StartArchive.ofThisImage()
                .orElseThrow(() -> new BadInput("program", "a plain JAR", "only an app image has such an archive"));
        if (archive.make()) {
            return 0;
        }
        throw new LogTrouble("The archive could not be made: " + archive.trouble());
    }
}
