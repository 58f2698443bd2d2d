package slabside.swatch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.colour.Srgb;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Kept inks whose colour is near to one that is wanted; and which of them a packet without a mark may be. */
public final class NearThisColour implements Calculator {
    private static final Question<Mass> GRAMS = Question.mass("grams", "An unmarked packet weighs")
            .optional()
            .hint("net, when you want to know which it is");
    private static final Question<String> PLACE =
            Question.text("place", "and lay in").optional();
    private static final int SHOWN = 12;
    private static final int LINKED = 3;
    /** Standard deviations of the colour of a packet beside what is computed, ΔE00, read and picked; assumptions. */
    private static final double READ = 4;

    private static final double PICKED = 9;
    /** Part of its mass by which a packet may differ from what was written down: rests on the paper, drying; assumption. */
    private static final double MASS = 0.08;
    /** Standard deviations at which a packet that is not in the log would be as likely; assumption. */
    private static final double STRANGER = 3;

    /** Of a packet that is not in the log at all. */
    private static final double STRANGER_WEIGHT = StrictMath.exp(-STRANGER * STRANGER / 2);

    private static final double OTHER_PLACE = 0.3;

    private record Candidate(Mixed ink, double grams, Answer.Swatch swatch, double apart, double weight) {}

    @Override
    public Card card() {
        return new Card(
                "near-this-colour", "Inks near this colour", "Which kept ink is near, or what is in this packet?");
    }

    @Override
    public List<Question<?>> questions() {
        List<Question<?>> questions = new ArrayList<>(Wanted.QUESTIONS);
        questions.addAll(List.of(GRAMS, PLACE, Sheets.FILM, Sheets.PAPER));
        return List.copyOf(questions);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double film = replies.to(Sheets.FILM);
        Wanted wanted = Wanted.of(replies, studio, film, paper);
        boolean unmarked =
                replies.maybe(GRAMS).isPresent() || replies.maybe(PLACE).isPresent();
        List<Candidate> near = new ArrayList<>();
        Map<String, Known> known = new HashMap<>();
        List<Mixed> seen = new ArrayList<>();
        // A can holds one ink as it was bought; what was mixed here is what is looked for.
        List<StudioView.Thing> vessels = new ArrayList<>(studio.find("packet", ""));
        vessels.addAll(studio.find("mix", ""));
        for (StudioView.Thing vessel : vessels) {
            if (vessel.id().equals(replies.maybe(Wanted.LIKE).orElse(""))) {
                continue;
            }
            StudioView.Composition in = studio.composition(vessel.id());
            if (in.shares().isEmpty() || !(in.grams().value() > 0)) {
                continue;
            }
            Mixed ink = Mixed.of(in, studio, known);
            if (ink.isColoured()) {
                seen.add(ink);
                CieLab colour = Sheets.seen(ink.film().times(film).over(paper));
                double apart = Difference.ciede2000(wanted.colour(), colour);
                near.add(new Candidate(
                        ink,
                        in.grams().value(),
                        new Answer.Swatch(
                                in.name(),
                                Srgb.ofD50(colour).hex(),
                                String.format(
                                        Locale.ROOT,
                                        "ΔE00 %.1f, %.0f g",
                                        apart,
                                        in.grams().value())),
                        apart,
                        weight(replies, wanted, ink, in.grams(), apart, studio)));
            }
        }
        if (near.isEmpty()) {
            return Answer.titled("Inks near this colour").text("No mix or packet holds ink whose colour is known.");
        }
        near.sort(Comparator.comparingDouble(each -> unmarked ? -each.weight() : each.apart()));
        List<Candidate> first = near.subList(0, Math.min(SHOWN, near.size()));
        List<Answer.Swatch> swatches = new ArrayList<>(List.of(new Answer.Swatch(
                "this colour",
                Srgb.ofD50(wanted.colour()).hex(),
                Sheets.numbers(wanted.colour()),
                replies.maybe(Wanted.SPECTRUM).isPresent())));
        first.forEach(each -> swatches.add(each.swatch()));
        Answer answer = Answer.titled("Inks near this colour")
                .text(unmarked ? likely(near) : nearest(first))
                .with(new Answer.Swatches("This colour, and inks that are kept", swatches));
        double sum =
                STRANGER_WEIGHT + near.stream().mapToDouble(Candidate::weight).sum();
        answer = answer.table(
                unmarked ? "Which it may be" : "The nearest",
                unmarked ? List.of("ink", "chance, %", "ΔE00", "g") : List.of("ink", "ΔE00", "g"),
                first.stream().map(each -> row(each, unmarked, sum)).toList());
        for (Candidate each : first.subList(0, Math.min(LINKED, first.size()))) {
            answer = answer.with(
                    new Answer.Link("Open " + each.ink().name(), each.ink().id()));
        }
        if (unmarked) {
            answer = answer.caution("This is never certain: dab it beside the print before it is used, and mark it.")
                    .assumption(
                            String.format(
                                    Locale.ROOT,
                                    "Between the log and the packet colours differ by ΔE00 %.0f where both were read and %.0f else, weights"
                                            + " by %.0f %% (one standard deviation)",
                                    READ,
                                    PICKED,
                                    MASS * 100),
                            "assumption")
                    .assumption(
                            String.format(
                                    Locale.ROOT,
                                    "A packet from another place is %.0f %% as likely, one that is not in the log as likely as one that"
                                            + " is off by %.0f standard deviations",
                                    OTHER_PLACE * 100,
                                    STRANGER),
                            "assumption");
        }
        return Sheets.honest(answer, Math.max(wanted.fromScreen() ? 2 : 0, worst(seen)));
    }

    private static int worst(List<Mixed> inks) {
        return inks.stream().mapToInt(Mixed::rank).max().orElse(0);
    }

    private static List<String> row(Candidate each, boolean unmarked, double sum) {
        List<String> row = new ArrayList<>(List.of(each.ink().name()));
        if (unmarked) {
            row.add(String.format(Locale.ROOT, "%.0f", 100 * each.weight() / sum));
        }
        row.add(String.format(Locale.ROOT, "%.1f", each.apart()));
        row.add(String.format(Locale.ROOT, "%.0f", each.grams()));
        return row;
    }

    private static String nearest(List<Candidate> first) {
        return String.format(
                Locale.ROOT,
                "%s is nearest, off by ΔE00 %.1f as computed.",
                first.get(0).ink().name(),
                first.get(0).apart());
    }

    private static String likely(List<Candidate> near) {
        double sum =
                STRANGER_WEIGHT + near.stream().mapToDouble(Candidate::weight).sum();
        double chance = near.get(0).weight() / sum;
        String name = near.get(0).ink().name();
        if (chance > 0.75) {
            return "It is likely " + name + ".";
        }
        return chance > 0.3
                ? "It may be " + name + "; others are possible."
                : "Nothing that is written down fits well; it may be none of these.";
    }

    /** How well a packet fits what is seen of it, 1 for wholly. */
    private static double weight(
            Replies replies,
            Wanted wanted,
            Mixed ink,
            slabside.measure.Uncertain grams,
            double apart,
            StudioView studio) {
        double spread = wanted.fromScreen() || ink.rank() == 2 ? PICKED : READ;
        double off = apart / spread;
        // Beside a read ink and a weight known to MASS: the vaguer something is known, the less it says.
        double log = -off * off / 2 - StrictMath.log(spread / READ);
        Optional<Double> weighed = replies.maybe(GRAMS).map(mass -> mass.milligrams() / 1000.0);
        if (weighed.isPresent()) {
            double sd = StrictMath.hypot(grams.u(), MASS * grams.value());
            double z = (weighed.get() - grams.value()) / sd;
            log -= z * z / 2 + StrictMath.log(sd / (MASS * grams.value()));
        }
        Optional<String> place = replies.maybe(PLACE).map(each -> each.strip().toLowerCase(Locale.ROOT));
        if (place.isPresent()) {
            boolean there = studio.story(ink.id(), "").moments().stream()
                    .map(moment -> moment.fields().at("place").text().toLowerCase(Locale.ROOT))
                    .anyMatch(each -> !each.isEmpty()
                            && (each.contains(place.get()) || place.get().contains(each)));
            log += there ? 0 : StrictMath.log(OTHER_PLACE);
        }
        return StrictMath.exp(log);
    }
}
