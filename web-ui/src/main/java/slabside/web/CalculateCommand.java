package slabside.web;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.StudioEvent;
import slabside.host.Proposals;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Question;
import slabside.plugin.Upload;
import slabside.studio.Studio;

/** Asks a calculator, report or importer on the command line, and keeps or writes down what it says. */
@Command(
        name = "calculate",
        description = "Asks a calculator, report or importer; without a name, lists them.",
        mixinStandardHelpOptions = true)
final class CalculateCommand implements Callable<Integer> {
    @ParentCommand
    @Nullable
    Commands commands;

    @Mixin
    Where where = new Where();

    @Option(
            names = "--format",
            paramLabel = "FORM",
            defaultValue = "text",
            description = "text, json, csv or pdf (default: ${DEFAULT-VALUE})")
    String format = "text";

    @Option(names = "--to", paramLabel = "FILE", description = "where to (default: standard output)")
    @Nullable
    Path to;

    @Option(names = "--keep-with", paramLabel = "THING", description = "keep the answer as a note on this mix, run …")
    @Nullable
    String keepWith;

    @Option(
            names = "--paper",
            paramLabel = "SIZE",
            defaultValue = "A4",
            description = "A4, A5 or letter, for pdf (default: ${DEFAULT-VALUE})")
    String paper = "A4";

    @Option(names = "--write", description = "write the entries down that it proposes")
    boolean write;

    @Parameters(paramLabel = "CALCULATOR", arity = "0..1", description = "such as let-down")
    @Nullable
    String id;

    @Parameters(
            paramLabel = "QUESTION=REPLY",
            index = "1..*",
            description = "such as mix=\"Heron grey HG-2\" times=2; a file as file=@readings.csv")
    @Nullable
    List<String> replies;

    @Override
    public Integer call() throws IOException {
        Commands all = java.util.Objects.requireNonNull(commands);
        try (Studio studio = write || keepWith != null ? all.forWriting(where) : all.forReading(where)) {
            if (id == null) {
                studio.host().calculators().forEach(each -> list(each, all.out));
                return 0;
            }
            Calculator calculator = studio.host().calculator(id);
            Map<String, String> given = given(calculator);
            Answer answer = studio.host()
                    .ask(
                            calculator,
                            given,
                            (share, words) -> all.err.printf(Locale.ROOT, "%3.0f %% %s%n", share * 100, words));
            byte[] bytes = Paper.as(
                    format,
                    answer,
                    calculator.card(),
                    new Paper.Sheet(Paper.Size.named(paper), "", Paper.Sheet.told(studio.log())));
            if (to == null) {
                all.out.write(bytes, 0, bytes.length);
                all.out.flush();
            } else {
                save(bytes, to);
            }
            List<Draft> drafts = drafts(studio, calculator, given, answer);
            if (!drafts.isEmpty()) {
                studio.append(Decision.of(drafts));
                all.err.println("slabside: " + drafts.size() + " written down");
            }
            return 0;
        }
    }

    private static void list(Calculator calculator, PrintStream out) {
        out.println(calculator.card().id() + ": " + calculator.card().asks());
        for (Question<?> question : calculator.questions()) {
            out.println("    " + question.id() + "=…  " + question.label()
                    + (question.unit().isEmpty() ? "" : ", " + question.unit())
                    + question.preset()
                            .map(p -> " (default " + p + ")")
                            .orElse(question.isOptional() ? " (optional)" : ""));
        }
    }

    private Map<String, String> given(Calculator calculator) throws IOException {
        Map<String, String> given = new LinkedHashMap<>();
        for (String reply : replies == null ? List.<String>of() : replies) {
            int equals = reply.indexOf('=');
            if (equals < 1) {
                throw new BadInput("reply", reply, "write it as question=reply");
            }
            String question = reply.substring(0, equals);
            String text = reply.substring(equals + 1);
            given.put(question, text.startsWith("@") ? file(calculator, question, Path.of(text.substring(1))) : text);
        }
        return given;
    }

    /** The file as the question wants it: as an upload, or as its text. */
    private static String file(Calculator calculator, String question, Path file) throws IOException {
        if (!Files.isRegularFile(file) || Files.size(file) > Upload.LARGEST) {
            throw new BadInput(question, file, "give a file of at most " + (Upload.LARGEST >> 20) + " MB");
        }
        boolean upload = calculator.questions().stream()
                .filter(each -> each.id().equals(question))
                .map(each -> each.declared().kind())
                .anyMatch(kind -> kind == Question.Kind.FILE || kind == Question.Kind.PICTURE);
        return upload
                ? Upload.of(file.getFileName().toString(), "", Files.readAllBytes(file))
                        .toString()
                : Files.readString(file);
    }

    private static void save(byte[] bytes, Path file) {
        try {
            Files.write(file, bytes);
        } catch (IOException failed) {
            throw new BadInput("--to", file, "it cannot be written here: " + failed.getMessage());
        }
    }

    /** What is to be written down: the answer as a note, the entries it proposes. */
    private List<Draft> drafts(Studio studio, Calculator calculator, Map<String, String> given, Answer answer) {
        Actor actor = new Actor(Studio.SOMEBODY, "this");
        long now = studio.log().clock().millis();
        List<Draft> drafts = new ArrayList<>();
        if (write) {
            List<Answer.Proposal> proposals = Proposals.of(answer.blocks());
            List<StudioEvent> events =
                    Proposals.events(studio.host(), calculator.card().id(), proposals);
            for (int i = 0; i < events.size(); i++) {
                long at = proposals.get(i).millis().orElse(now);
                drafts.add(draft(actor, at, now, events.get(i)));
            }
        }
        if (keepWith != null) {
            drafts.add(draft(
                    actor,
                    now,
                    now,
                    AnswerDeeds.kept(
                            calculator.card().id(),
                            studio.host().picked(calculator, given),
                            answer,
                            studio.views().named("", keepWith).id())));
        }
        return drafts;
    }

    private static Draft draft(Actor actor, long at, long now, StudioEvent event) {
        return new Draft(
                EventId.at(now, EventId.chance()), Happened.exactly(at, ZoneId.systemDefault()), null, actor, event);
    }
}
