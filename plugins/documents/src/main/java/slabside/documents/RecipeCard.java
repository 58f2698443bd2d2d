package slabside.documents;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** A mix on a card: its shares, every step in order, what was taken out, tests, the packet that was kept, and boxes for dabs. */
public final class RecipeCard implements Report {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final double PAPER = 0.85;
    private static final int MOST_TESTS = 60;
    /** Grams below which a packet counts as used up. */
    private static final double LEAST_KEPT = 0.05;

    @Override
    public Card card() {
        return new Card("recipe-card", "Recipe card", "How was this ink made, on a card to keep?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, Sheets.FILM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(MIX);
        StudioView.Composition in = Said.filled(id, MIX.label(), studio);
        Answer answer = Answer.titled("Recipe card: " + in.name())
                .with(new Answer.Code("This ink in the studio's log", id))
                .with(new Answer.Fields("", head(id, studio)));
        List<List<String>> shares = new ArrayList<>();
        double sum = 0;
        for (StudioView.Share share : in.shares()) {
            sum += share.grams().value();
            shares.add(List.of(
                    share.material().name(),
                    String.format(Locale.ROOT, "%.3f", share.share().value() * 100),
                    String.format(Locale.ROOT, "%.3f", share.share().expanded() * 100),
                    String.format(Locale.ROOT, "%.2f", share.grams().value())));
        }
        answer = answer.table("What is in it", List.of("material", "%", "± % (k = 2)", "g"), shares)
                .quantity("Batch", in.grams().value() > 0 ? in.grams() : new Uncertain(sum, 0), "g", "all of it");
        for (String gap : in.gaps()) {
            answer = answer.caution(gap + "; shares are of what was written down.");
        }
        answer = answer.with(steps("Step by step", id, studio));
        // A packet was wrapped from a mix: its steps are the mix's.
        for (StudioView.Path path : studio.into(id)) {
            if (path.why().equals("wrapped")) {
                answer = answer.with(steps("Step by step, " + path.fromName(), path.from(), studio));
            }
        }
        List<List<String>> tests = tests(id, studio);
        if (!tests.isEmpty()) {
            answer = answer.table("Tests and judgements", List.of("what was said"), tests);
        }
        answer = answer.with(
                        new Answer.Boxes("Dabs of it", List.of("wet", "dry, after 24 h", "over black", "as printed")))
                .with(new Answer.Fields(
                        "",
                        List.of(new Answer.Field("Next time", Said.field("log.annotated", "words", id, studio), ""))));
        Mixed mix = Mixed.of(id, MIX.label(), studio);
        if (mix.isColoured()) {
            answer = answer.with(new Answer.Swatches(
                    "As a film",
                    List.of(Sheets.single(
                            mix,
                            replies.to(Sheets.FILM),
                            mix.film().times(replies.to(Sheets.FILM)).over(Known.white(PAPER))))));
            answer = Sheets.honest(answer, List.of(mix));
        }
        return answer;
    }

    /** For what it was mixed and when, on which paper and in which light it was agreed, and the packets that were kept of it. */
    private static List<Answer.Field> head(String id, StudioView studio) {
        List<StudioView.Path> into = studio.into(id);
        String from = into.stream()
                .filter(path -> path.why().equals("wrapped"))
                .map(StudioView.Path::from)
                .findFirst()
                .orElse(id);
        String days = studio.into(from).stream()
                .map(path -> Said.day(path.millis(), studio).toString())
                .distinct()
                .collect(Collectors.joining(", "));
        String kept = studio.from(from).stream()
                .filter(path -> studio.thing("packet", path.into()).isPresent())
                .map(path -> packet(path.into(), studio))
                .distinct()
                .collect(Collectors.joining("; "));
        return List.of(
                new Answer.Field("Mixed on", days, ""),
                new Answer.Field("Mixed by", "", ""),
                new Answer.Field(
                        "For run",
                        Said.runOf(from, studio).map(StudioView.Thing::name).orElse(""),
                        ""),
                new Answer.Field("Paper", paper(Said.field("test.colour-agreed", "paper", from, studio), studio), ""),
                new Answer.Field("Light it was judged in", Said.field("test.colour-agreed", "light", from, studio), ""),
                new Answer.Field("Packet kept", kept, ""));
    }

    private static String paper(String lot, StudioView studio) {
        return lot.isEmpty()
                ? ""
                : Said.last("paper.received", lot, studio)
                        .map(received -> received.fields().at("name").text())
                        .orElse(lot);
    }

    private static String packet(String id, StudioView studio) {
        StudioView.Composition in = studio.composition(id);
        String place = Said.field("ink.wrapped", "place", id, studio);
        boolean drier =
                in.shares().stream().anyMatch(share -> share.material().role().equals("drier"));
        return studio.thing("packet", id).map(StudioView.Thing::label).orElse("")
                + studio.left(id)
                        .map(left -> left.value() < LEAST_KEPT ? ", used up" : ", " + Said.grams(left) + " g")
                        .orElse(", how much is not known")
                + (place.isEmpty() ? "" : ", " + place)
                + (drier
                        ? ", holds drier"
                        : in.gaps().isEmpty() && !in.shares().isEmpty() ? ", no drier" : ", drier: not known");
    }

    /** What went in and what came out, in order. */
    private static Answer.Table steps(String caption, String id, StudioView studio) {
        List<StudioView.Path> paths = new ArrayList<>(studio.into(id));
        paths.addAll(studio.from(id));
        paths.sort(Comparator.comparingLong(StudioView.Path::millis));
        List<List<String>> rows = new ArrayList<>();
        int charges = 0;
        LocalDate day = null;
        double charged = 0;
        for (StudioView.Path path : paths) {
            boolean in = path.into().equals(id);
            if (path.why().equals("charged") && !in) {
                charges++;
                charged += path.grams().map(Uncertain::value).orElse(0.0);
                continue;
            }
            LocalDate on = Said.day(path.millis(), studio);
            String when = (on.equals(day) ? "" : on + " ") + Said.time(path.millis(), studio);
            day = on;
            rows.add(List.of(
                    when,
                    in ? "in: " + path.fromName() : "out: " + path.intoName(),
                    path.grams()
                            .map(g ->
                                    String.format(Locale.ROOT, "%s%.2f ± %.2f", in ? "" : "−", g.value(), g.expanded()))
                            .orElse("not known"),
                    path.why().replace('-', ' ')));
        }
        if (charges > 0) {
            rows.add(List.of(
                    "",
                    "out: onto slab and roller, " + charges + (charges == 1 ? " charge" : " charges"),
                    String.format(Locale.ROOT, "−%.2f", charged),
                    "charged"));
        }
        return new Answer.Table(caption, List.of("when", "step", "g", "why"), rows);
    }

    private static List<List<String>> tests(String id, StudioView studio) {
        List<List<String>> rows = new ArrayList<>();
        String next = "";
        do {
            StudioView.Page page = studio.story(id, next);
            for (StudioView.Moment moment : page.moments()) {
                if (moment.type().startsWith("test.") && rows.size() < MOST_TESTS) {
                    rows.add(0, List.of(moment.words()));
                }
            }
            next = page.next();
        } while (!next.isEmpty() && rows.size() < MOST_TESTS);
        return rows;
    }
}
