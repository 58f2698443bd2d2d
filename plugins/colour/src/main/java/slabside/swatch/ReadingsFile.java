package slabside.swatch;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.stream.Stream;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Srgb;
import slabside.looks.Known;
import slabside.looks.Sheets;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Importer;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/** Readings of an instrument from the file it saved, to be written down. */
public final class ReadingsFile implements Importer {
    private static final int MOST = 200;
    private static final String SILENT = "what the file says";
    private static final Question<Upload> FILE = Question.file(
                    "file", "File that the instrument saved", ".txt", ".cgats", ".it8", ".cxf", ".xml", ".csv", ".tsv")
            .hint("spectra or L*a*b*: ISO 28178 (CGATS.17), ISO 17972 (CxF), or a table with a heading");
    private static final Question<String> OF = Question.pick("of", "What was read", "vessel", "material", "run")
            .optional()
            .hint("leave open to go by the names in the file");
    private static final Question<String> UNDER = Question.pick("under", "It lies over the ink of", "vessel", "run")
            .optional()
            .hint("for a bar where films lie one over the other");
    private static final Question<String> BETWEEN =
            Question.pick("between", "and then of", "vessel", "run").optional();
    private static final Question<String> ONLY =
            Question.text("only", "Only the reading called").optional();
    private static final Question<String> BACKING = Question.choice(
                    "backing", "Over", SILENT, "white", "black", "paper")
            .preset(SILENT, Question.Origin.ASSUMPTION);
    private static final Question<Double> DRY =
            Question.number("dry", "Dry for", "hours", 0, 100_000).optional();
    private static final Question<Double> FILM =
            Question.number("film", "Weight of the film", "g/m²", 0.1, 50).optional();

    @Override
    public Card card() {
        return new Card(
                "readings-file", "Readings from a file", "Which colours did the instrument read, and of which ink?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(FILE, OF, ONLY, UNDER, BETWEEN, BACKING, DRY, FILM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        FileRead file = FileRead.of(replies.to(FILE).bytes());
        Optional<String> only = replies.maybe(ONLY).map(String::strip);
        List<Sample> samples = file.samples().stream()
                .filter(sample -> only.isEmpty() || sample.name().equalsIgnoreCase(only.get()))
                .map(sample -> backing(sample, replies.to(BACKING)))
                .toList();
        List<FileRead.Trouble> troubles = new ArrayList<>(file.troubles());
        List<Answer.Proposal> entries = new ArrayList<>();
        List<Answer.Swatch> swatches = new ArrayList<>();
        List<String> nameless = new ArrayList<>();
        for (Sample sample : samples) {
            Optional<String> light = wrongLight(sample);
            if (light.isPresent()) {
                troubles.add(new FileRead.Trouble(sample.line(), light.get()));
                continue;
            }
            Optional<String> of = replies.maybe(OF)
                    .or(() ->
                            entries.size() + nameless.size() < MOST ? named(sample.name(), studio) : Optional.empty());
            if (of.isEmpty()) {
                nameless.add(sample.name().isEmpty() ? "line " + sample.line() : sample.name());
            } else if (entries.size() < MOST) {
                entries.add(entry(sample, of.get(), replies));
            }
            swatch(sample).ifPresent(swatches::add);
        }
        int seen = swatches.size();
        Answer answer = Answer.titled("Readings from a file")
                .text(count(samples.size(), "reading") + " in "
                        + replies.to(FILE).name() + ", "
                        + count(troubles.size(), "line")
                        + " that cannot be used.");
        if (!swatches.isEmpty()) {
            answer = answer.with(new Answer.Swatches("As they were read", swatches.subList(0, Math.min(seen, MOST))));
        }
        if (!nameless.isEmpty()) {
            answer = answer.caution("Nothing in the studio is called "
                    + String.join(", ", nameless.subList(0, Math.min(10, nameless.size())))
                    + (nameless.size() > 10 ? " …" : "")
                    + ". Pick what was read, and give the name of its reading.");
        }
        if (replies.maybe(OF).isPresent() && entries.size() > 1) {
            answer = answer.caution(
                    "All " + entries.size() + " readings would be written down of one ink. Give the name of one"
                            + " reading if they are of several.");
        }
        if (samples.size() > MOST) {
            answer = answer.caution("Only the first " + MOST + " readings are proposed; name one to have others.");
        }
        if (!troubles.isEmpty()) {
            answer = answer.table(
                    "Cannot be used",
                    List.of("line", "why, and what to do"),
                    troubles.stream()
                            .limit(MOST)
                            .map(each -> List.of(String.valueOf(each.line()), each.words()))
                            .toList());
        }
        for (String remark : file.remarks()) {
            answer = answer.assumption(remark, "assumption");
        }
        if (!entries.isEmpty()) {
            answer = answer.with(new Answer.Proposed(count(entries.size(), "reading"), entries));
            if (replies.maybe(DRY).isEmpty()) {
                answer = answer.caution(
                        "Nobody said how long it had dried. Colours of films are only compared dry with dry: say the hours.");
            }
        }
        return answer;
    }

    private static String count(int many, String what) {
        return many + " " + what + (many == 1 ? "" : "s");
    }

    private static Sample backing(Sample sample, String asked) {
        if (asked.equals(SILENT)) {
            return sample;
        }
        Sample.Conditions how = sample.how();
        return new Sample(
                sample.line(),
                sample.name(),
                sample.spectrum(),
                sample.lab(),
                sample.density(),
                new Sample.Conditions(how.instrument(), how.geometry(), how.illuminant(), how.observer(), asked));
    }

    /** L*a*b* of another light or observer says nothing here, unless there is a spectrum beside it. */
    private static Optional<String> wrongLight(Sample sample) {
        if (sample.spectrum().isPresent()
                || sample.lab().isEmpty()
                || Known.isD50(sample.how().illuminant(), sample.how().observer())) {
            return Optional.empty();
        }
        return Optional.of("L*a*b* under "
                + (sample.how().illuminant().isEmpty() ? "D50" : sample.how().illuminant()) + ", "
                + (sample.how().observer().isEmpty() ? "2°" : sample.how().observer())
                + "; films are computed under D50, 2°: let the instrument save spectra, or set it to D50 and 2°");
    }

    /** The ink, material or run that has exactly this name. */
    private static Optional<String> named(String name, StudioView studio) {
        if (name.isBlank()) {
            return Optional.empty();
        }
        for (String kind : List.of("mix", "packet", "can", "material", "run")) {
            Optional<StudioView.Thing> thing = studio.thing(kind, name);
            if (thing.isPresent()) {
                return thing.map(StudioView.Thing::id);
            }
        }
        return Optional.empty();
    }

    private static Answer.Proposal entry(Sample sample, String of, Replies replies) {
        List<String> over = Stream.of(UNDER, BETWEEN)
                .flatMap(question -> replies.maybe(question).stream())
                .toList();
        Answer.Proposal proposed = sample.proposed(
                of, over, replies.maybe(DRY).map(OptionalDouble::of).orElse(OptionalDouble.empty()));
        Json.Fields fields = proposed.fields();
        if (replies.maybe(FILM).isPresent()) {
            fields = fields.with(
                    "filmMgPerM2",
                    BigDecimal.valueOf(replies.to(FILM)).movePointRight(3).setScale(0, RoundingMode.HALF_UP));
        }
        return new Answer.Proposal(proposed.type(), proposed.version(), fields, "", List.of(), OptionalLong.empty());
    }

    private static Optional<Answer.Swatch> swatch(Sample sample) {
        Optional<CieLab> seen = sample.spectrum()
                .map(spectrum -> Known.D50.lab(Bands.of(spectrum)))
                .or(() -> sample.lab().map(CieLab::of));
        return seen.map(lab -> new Answer.Swatch(
                sample.name().isEmpty() ? "line " + sample.line() : sample.name(),
                Srgb.ofD50(lab).hex(),
                Sheets.numbers(lab)
                        + (sample.spectrum().isPresent()
                                ? String.format(
                                        Locale.ROOT,
                                        ", spectrum of %d bands",
                                        sample.spectrum().get().values().size())
                                : ""),
                true));
    }
}
