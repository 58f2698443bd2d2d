package slabside.knife;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import slabside.body.Matching;
import slabside.body.Response;
import slabside.colour.Bands;
import slabside.colour.InkFilm;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.DoseLine;

/** What to add to which of two or three inks so that they have the same body, one small step after the other. */
public final class SameBody implements Calculator {
    private static final Question<String> ONE = Question.pick("one", "Ink", "vessel");
    private static final Question<String> OTHER = Question.pick("other", "and ink", "vessel");
    private static final Question<String> THIRD =
            Question.pick("third", "and a third", "vessel").optional();
    private static final Question<String> STIFFENER =
            Question.pick("stiffener", "Stiffener", "material").optional().hint("open for the magnesium on the shelf");
    private static final Question<String> OIL =
            Question.pick("oil", "Oil", "material").optional().hint("open for the thin oil on the shelf");
    private static final Question<Double> MOST_POWDER = Question.percent(
                    "most-stiffener", "Stiffener, at most", 0.1, 15)
            .optional()
            .hint("share of the ink; open for what is usual");
    private static final Question<Double> MOST_OIL = Question.percent("most-oil", "Oil, at most", 0.1, 15)
            .optional()
            .hint("share of the ink; open for what is usual");
    private static final Question<Double> ALIKE =
            Question.percent("alike", "Alike within", 1, 50).preset("10", Question.Origin.ASSUMPTION);

    /** g/m² of the film whose colour is looked at; as on the other pages. */
    private static final double FILM = 3;

    /** Reflectance of the paper it is looked at on. */
    private static final double PAPER = 0.85;

    /** °C apart from which it is said that readings were not taken in one room. */
    private static final double WARMER = 2;

    /** Readings from which an ink tells something by itself. */
    private static final int LEAST_ALONE = 3;

    private static final double CONFIDENCE = 0.95;
    private static final int PLACES = 10;
    /** Steps of a scale below which an amount is hardly weighed. */
    private static final int STEPS = 20;

    /** Per cent of a powder that go in at once (common practice, no source). */
    private static final double MOST_AT_ONCE = 1;
    /** ΔE00, so that a clear ink still tells a smaller amount from a larger. */
    private static final double LEAST_SHIFT = 1e-3;

    /** One of the inks, and what is known of it. */
    private record Ink(StudioView.Composition in, List<Matching.Read> reads, Optional<InkFilm> film, int leftOut) {}

    @Override
    public Card card() {
        return new Card("same-body", "Bring inks to one body", "What goes into which ink of a blend, and how much?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(ONE, OTHER, THIRD, STIFFENER, MOST_POWDER, OIL, MOST_OIL, ALIKE);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        List<String> vessels = new ArrayList<>(List.of(replies.to(ONE), replies.to(OTHER)));
        replies.maybe(THIRD).ifPresent(vessels::add);
        List<Question<String>> asked = List.of(ONE, OTHER, THIRD);
        for (int i = 0; i < vessels.size(); i++) {
            StudioView.Composition in = studio.composition(vessels.get(i));
            if (vessels.indexOf(vessels.get(i)) < i) {
                throw new BadInput(asked.get(i).label(), in.name(), "it is picked twice; pick another ink");
            }
            if (in.shares().isEmpty()) {
                throw new BadInput(
                        asked.get(i).label(), in.name(), "nothing is in it now; pick a mix or packet that holds ink");
            }
        }
        List<StudioView.Material> modifiers = modifiers(replies, studio);
        List<SpreadRead> all = SpreadRead.all(studio);
        Warmth warmth = Warmth.of(all, studio);
        SpreadLog log = new SpreadLog(all, vessels, warmth, studio);
        List<Ink> inks = new ArrayList<>();
        for (String vessel : vessels) {
            inks.add(ink(studio.composition(vessel), modifiers, log, studio));
        }
        Answer answer = Answer.titled("Bring inks to one body");
        List<String> unread = inks.stream()
                .filter(ink -> ink.reads().isEmpty())
                .map(ink -> ink.in().name())
                .toList();
        if (!unread.isEmpty()) {
            answer = answer.text("First read a one-minute spread of " + String.join(" and of ", unread) + ", as "
                    + (unread.size() == 1 ? "it is" : "they are") + " now, and write it down.");
            for (Ink ink : inks) {
                answer = ink.reads().isEmpty() ? answer.with(spread(ink.in())) : answer;
            }
            return answer.text("Then come back: this tells what goes into which, a small step at a time.");
        }
        double scatter = log.scatter();
        List<Response> responses = modifiers.stream()
                .map(modifier -> log.response(modifier, vessels, scatter))
                .toList();
        // Where a colour is not known the smaller amount is taken.
        boolean known = inks.stream().allMatch(ink -> ink.film().isPresent());
        List<Matching.Ink> matched = new ArrayList<>();
        for (Ink ink : inks) {
            List<Matching.Choice> choices = new ArrayList<>();
            for (int i = 0; i < modifiers.size(); i++) {
                choices.add(new Matching.Choice(
                        responses.get(i),
                        percent(ink.in(), modifiers.get(i)),
                        limit(modifiers.get(i), replies),
                        known ? shift(ink) : 1));
            }
            matched.add(new Matching.Ink(ink.in().name(), ink.reads(), choices));
        }
        Matching matching = new Matching(matched, scatter, warmth.u(), replies.to(ALIKE) / 100);
        answer = new Match(inks, modifiers, matching, replies, studio).told(answer, matching.next());
        answer = answer.table(
                "How stiff they are, after a minute, at 20 °C",
                List.of("ink", "Pa", "± % (k = 2)", "readings", "colour moves by, for 1 % more"),
                bodies(inks, matched, scatter));
        answer = answer.table(
                "What may be added",
                List.of("modifier", "stiffness changes for 1 %", "± (k = 2)", "told by", "limit, %"),
                told(modifiers, responses, replies));
        for (Ink ink : inks) {
            if (ink.leftOut() > 0) {
                answer = answer.caution(ink.leftOut() + " earlier readings of "
                        + ink.in().name() + " are of another ink than it is now, and are not used.");
            }
            for (String gap : ink.in().gaps()) {
                answer = answer.caution(gap + "; shares are of what was written down.");
            }
        }
        if (log.apart(vessels) > WARMER) {
            answer = answer.caution(String.format(
                    Locale.ROOT,
                    "These inks were read %.0f °C apart: bringing them to 20 °C is unsure by %.0f %%, which counts in how far they are"
                            + " apart. Read both in the same room, one after the other.",
                    log.apart(vessels),
                    200 * warmth.u() * log.apart(vessels)));
        }
        if (log.isMixedWarmth(vessels)) {
            answer = answer.caution(
                    "Some of these spreads were read without the temperature of the glass: it is taken as 20 °C. Read both in the same"
                            + " room, one after the other.");
        }
        return warmth.told(answer)
                .assumption(
                        String.format(
                                Locale.ROOT,
                                "One reading scatters by %.0f %% from another of the same ink",
                                scatter * 100),
                        scatter == SpreadLog.SCATTER
                                ? "assumption"
                                : "measured here, on inks that were read more than once")
                .assumption(
                        "The logarithm of stiffness goes in a straight line with the share of a modifier",
                        "published laws of filled pastes, within 7 % up to 8 % of a powder; not for a strong network above 4 %")
                .assumption(
                        String.format(Locale.ROOT, "Colours are looked at in a film of %.0f g/m² on white paper", FILM),
                        "assumption");
    }

    /** The powder and the oil that may be added, as asked or as they lie on the shelf. */
    private static List<StudioView.Material> modifiers(Replies replies, StudioView studio) {
        List<StudioView.Material> found = new ArrayList<>();
        for (boolean stiff : new boolean[] {true, false}) {
            Optional<String> asked = replies.maybe(stiff ? STIFFENER : OIL);
            Optional<StudioView.Material> material = studio.materials().stream()
                    .filter(each -> asked.map(each.id()::equals).orElseGet(() -> acts(each, stiff)))
                    // What does most for a per cent, such as magnesium before calcium.
                    .min(Comparator.comparingDouble(each -> -Math.abs(
                            Modifiers.usual(each).map(Modifiers.Usual::stiffens).orElse(0.0))));
            if (asked.isPresent() && material.filter(each -> acts(each, stiff)).isEmpty()) {
                throw new BadInput(
                        (stiff ? STIFFENER : OIL).label(),
                        material.map(StudioView.Material::name).orElse(asked.get()),
                        stiff
                                ? "pick magnesium or calcium carbonate; what others do is not known before they were tried"
                                : "pick a thin oil or varnish");
            }
            material.ifPresent(found::add);
        }
        if (found.isEmpty()) {
            throw new BadInput(
                    STIFFENER.label(), "", "no powder and no oil is listed in the studio; list one on the shelf first");
        }
        return found;
    }

    /** As asked, else as is usual. */
    private static double limit(StudioView.Material material, Replies replies) {
        Modifiers.Usual usual = Modifiers.usual(material).orElseThrow();
        return replies.maybe(usual.stiffens() > 0 ? MOST_POWDER : MOST_OIL).orElse(usual.limit());
    }

    private static boolean acts(StudioView.Material material, boolean stiff) {
        return Modifiers.usual(material)
                .filter(usual -> stiff ? usual.stiffens() > 0 : usual.stiffens() < 0)
                .isPresent();
    }

    static double percent(StudioView.Composition in, StudioView.Material material) {
        return in.shares().stream()
                .filter(share -> share.material().id().equals(material.id()))
                .mapToDouble(share -> share.share().value() * 100)
                .sum();
    }

    private static double[] percents(StudioView.Composition in, List<StudioView.Material> modifiers) {
        return modifiers.stream().mapToDouble(each -> percent(in, each)).toArray();
    }

    private static Ink ink(
            StudioView.Composition in, List<StudioView.Material> modifiers, SpreadLog log, StudioView studio) {
        List<Matching.Read> reads = new ArrayList<>();
        int leftOut = 0;
        for (SpreadLog.At at : log.of(in.vessel())) {
            if (SpreadLog.isSame(at.in(), in, modifiers)) {
                reads.add(new Matching.Read(
                        at.log(),
                        at.celsius().orElse(Warmth.REFERENCE) - Warmth.REFERENCE,
                        percents(at.in(), modifiers)));
            } else {
                leftOut++;
            }
        }
        Mixed mix = Mixed.of(in.vessel(), ONE.label(), studio);
        return new Ink(in, reads, mix.isColoured() ? Optional.of(mix.film()) : Optional.empty(), leftOut);
    }

    /** ΔE00 of a film that has one per cent less ink; 1 where the colour is not known, so that the smaller amount is taken. */
    private static double shift(Ink ink) {
        Bands paper = Known.white(PAPER);
        return ink.film()
                .map(film -> Math.max(
                        LEAST_SHIFT,
                        Sheets.apart(
                                film.times(FILM).over(paper),
                                film.times(FILM * 0.99).over(paper))))
                .orElse(1.0);
    }

    private static Answer.Ask spread(StudioView.Composition in) {
        return new Answer.Ask("One-minute spread of " + in.name(), "one-minute-spread", Map.of("ink", in.vessel()));
    }

    /** The inks as they are matched, and what the next step is in words. */
    private record Match(
            List<Ink> inks,
            List<StudioView.Material> modifiers,
            Matching matching,
            Replies replies,
            StudioView studio) {
        Answer told(Answer answer, Matching.Step step) {
            String stiff = inks.get(step.stiffest()).in().name();
            String soft = inks.get(step.softest()).in().name();
            double apart = StrictMath.expm1(step.apart().value()) * 100;
            String how = String.format(
                    Locale.ROOT,
                    "%s is %.0f %% stiffer than %s, between %.0f and %.0f %%.",
                    stiff,
                    apart,
                    soft,
                    StrictMath.expm1(step.apart().value() - step.apart().expanded()) * 100,
                    StrictMath.expm1(step.apart().value() + step.apart().expanded()) * 100);
            switch (step.next()) {
                case ALIKE:
                    return answer.text("They have the same body, as far as this can tell: roll up the blend.")
                            .text(how)
                            .quantity(
                                    "Sure of it", StrictMath.round(step.sure() * 100), "%", "by all readings together");
                case READ:
                    return answer.text("First read " + inks.get(step.ink()).in().name()
                                    + " as it is now: something went into it since it was read.")
                            .with(spread(inks.get(step.ink()).in()));
                case NO_WAY:
                    return answer.text(
                                    "Nothing that may be added is known to act the right way: pick another stiffener or oil.")
                            .text(how);
                case READ_AGAIN:
                    return answer.text("They are not told apart yet: read "
                                    + inks.get(step.ink()).in().name() + " once more, to be sure.")
                            .text(how)
                            .with(spread(inks.get(step.ink()).in()));
                case START_FRESH:
                    Answer fresh = answer.text("Start fresh: nothing may be added to " + soft + " or taken to loosen "
                                    + stiff + " any more without going past a limit.")
                            .text(how);
                    for (Ink ink : List.of(inks.get(step.softest()), inks.get(step.stiffest()))) {
                        fresh = fresh.with(new Answer.Ask(
                                "How is " + ink.in().name() + " made afresh?",
                                "modifiers",
                                Map.of("ink", ink.in().vessel())));
                    }
                    return fresh;
                default:
                    return addition(answer.text(how), step);
            }
        }

        /** What the ink itself tells, without what is believed of others. */
        private String alone(Matching.Step step, StudioView.Material modifier) {
            List<Matching.Read> reads = inks.get(step.ink()).reads();
            double[] shares = reads.stream()
                    .mapToDouble(read -> read.shares()[step.choice()])
                    .toArray();
            double[] logs = reads.stream().mapToDouble(Matching.Read::log).toArray();
            if (reads.size() < LEAST_ALONE || Arrays.stream(shares).distinct().count() < 2) {
                return "Too few trials: it was read " + reads.size() + (reads.size() == 1 ? " time" : " times")
                        + ", or always at one share of " + modifier.name() + ".";
            }
            int other = step.ink() == step.stiffest() ? step.softest() : step.stiffest();
            double target = matching.inks().get(other).body(matching.scatter()).value();
            return DoseLine.of(shares, logs)
                    .forMean(target, CONFIDENCE)
                    .map(dose -> String.format(
                            Locale.ROOT,
                            "It would take %.1f %% of %s, between %.1f and %.1f (Fieller, 95 %%), the other ink's body taken as it was"
                                    + " read.",
                            dose.dose(),
                            modifier.name(),
                            dose.low(),
                            dose.high()))
                    .orElse("Too few trials: its readings do not bound any dose (Fieller, 95 %).");
        }

        private Answer addition(Answer answer, Matching.Step step) {
            StudioView.Composition in = inks.get(step.ink()).in();
            StudioView.Material modifier = modifiers.get(step.choice());
            Modifiers.Usual usual = Modifiers.usual(modifier).orElseThrow();
            double now = percent(in, modifier);
            double grams = Matching.grams(in.grams().value(), now, step.share());
            Uncertain after = matching.inks()
                    .get(step.ink())
                    .belief(step.choice(), matching.scatter())
                    .mean(step.share());
            double pascals = StrictMath.exp(after.value());
            int portions = (int) StrictMath.ceil((step.share() - now) / MOST_AT_ONCE - 1e-9);
            List<Answer.Step> steps = new ArrayList<>();
            steps.add(new Answer.Step(
                    String.format(
                            Locale.ROOT,
                            "Into %s goes %s%s: then it is %.1f %% of it",
                            in.name(),
                            modifier.name(),
                            portions > 1 ? ", in " + portions + " portions, each worked in well" : ", worked in well",
                            step.share()),
                    String.format(Locale.ROOT, "%.2f g", grams)));
            steps.add(new Answer.Step("Write it down at the bench", ""));
            steps.add(new Answer.Step("Read a one-minute spread of it, and write that down", ""));
            steps.add(new Answer.Step("Ask this again", ""));
            Answer told = answer.with(new Answer.Steps(steps))
                    .quantity(
                            "Add",
                            StrictMath.round(grams * 1000) / 1000.0,
                            "g",
                            String.format(Locale.ROOT, "from %.2f to %.2f %%", now, step.share()))
                    .quantity(
                            "Stiffness after it",
                            new Uncertain(pascals, pascals * after.u()),
                            "Pa",
                            "expected, after a minute at 20 °C");
            if (step.whole().isPresent()) {
                told = told.text(String.format(
                        Locale.ROOT,
                        "The whole of it will take %.1f %% of %s, between %.1f and %.1f.",
                        step.whole().get().dose(),
                        modifier.name(),
                        Math.max(0, step.whole().get().low()),
                        step.whole().get().high()));
            } else {
                told = told.text("Too few trials of " + modifier.name()
                        + " are written down to say how much the whole will take: this step is one to learn by, and kept so small that it"
                        + " hardly goes too far.");
            }
            told = told.with(new Answer.Deeper(
                    "By the readings of this ink alone", List.of(new Answer.Text(alone(step, modifier)))));
            double limit = limit(modifier, replies);
            if (!step.fits()) {
                told = told.caution(String.format(
                        Locale.ROOT,
                        "The whole of it would go past the limit of %.1f %%, as far as is known: think of making one of them afresh.",
                        limit));
            } else if (step.share() >= limit - 1e-9) {
                told = told.caution(String.format(
                        Locale.ROOT, "This brings it to its limit of %.1f %%: after it, start fresh.", limit));
            }
            List<Answer.Point> curve = new ArrayList<>();
            for (int i = 0; i <= PLACES; i++) {
                double share = now + (limit(modifier, replies) - now) * i / PLACES;
                curve.add(new Answer.Point(
                        share,
                        StrictMath.exp(matching.inks()
                                .get(step.ink())
                                .belief(step.choice(), matching.scatter())
                                .mean(share)
                                .value())));
            }
            told = told.chart("Stiffness of " + in.name() + ", as expected", modifier.name() + ", %", "Pa", curve);
            double finest = studio.scaleStep().milligrams() / 1000.0;
            if (grams < STEPS * finest) {
                told = told.caution(String.format(
                        Locale.ROOT,
                        "The scale reads in steps of %s g: so little is weighed within %.0f %% at best. Take a finer scale, or a larger batch.",
                        BigDecimal.valueOf(finest).toPlainString(),
                        100 * finest / grams));
            }
            if (!usual.caution().isEmpty()) {
                told = told.caution(usual.caution());
            }
            return told.with(new Answer.Link("Open " + in.name(), in.vessel())).with(spread(in));
        }
    }

    private static List<List<String>> bodies(List<Ink> inks, List<Matching.Ink> matched, double scatter) {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < inks.size(); i++) {
            Uncertain body = matched.get(i).body(scatter);
            rows.add(List.of(
                    inks.get(i).in().name(),
                    String.format(Locale.ROOT, "%.0f", StrictMath.exp(body.value())),
                    String.format(Locale.ROOT, "%.0f", body.expanded() * 100),
                    "" + inks.get(i).reads().size(),
                    inks.get(i).film().isPresent()
                            ? String.format(Locale.ROOT, "ΔE00 %.2f", shift(inks.get(i)))
                            : "not known"));
        }
        return rows;
    }

    private static List<List<String>> told(
            List<StudioView.Material> modifiers, List<Response> responses, Replies replies) {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < modifiers.size(); i++) {
            Response response = responses.get(i);
            rows.add(List.of(
                    modifiers.get(i).name(),
                    String.format(Locale.ROOT, "%+.0f %%", 100 * response.slope()),
                    String.format(Locale.ROOT, "%.0f %%", 200 * response.forAnother()),
                    response.inks() == 0
                            ? "nothing here yet; an assumption"
                            : response.inks() + (response.inks() == 1 ? " ink" : " inks") + " of this studio",
                    String.format(Locale.ROOT, "%.1f", limit(modifiers.get(i), replies))));
        }
        return rows;
    }
}
