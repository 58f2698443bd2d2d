package slabside.swatch;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Correction;
import slabside.colour.Difference;
import slabside.colour.InkFilm;
import slabside.colour.Srgb;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.ReadFilm;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What to add to a mix whose dab is not the wanted colour; from every dab of it that was read the strength of its inks is learned. */
public final class WhatToAdd implements Calculator {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final Question<Lab> DAB = Question.lab("dab", "The dab as it was read, under D50")
            .optional()
            .hint("leave open to take the readings in the log");
    private static final String IN_IT = "what is in it";
    private static final String ALL = "any ink of the studio";
    private static final Question<String> FROM =
            Question.choice("from", "Add only", IN_IT, ALL).preset(IN_IT, Question.Origin.COMMON_PRACTICE);
    private static final Question<Mass> MOST =
            Question.mass("most", "Add at most").optional().hint("grams; left open, as much again as is there");
    /** Inks that are offered beside those in the mix; more would be searched for a long time. */
    private static final int MOST_OTHERS = 4;
    /** An addition of fewer steps of the scale is better made from a let-down (common practice, no source). */
    private static final int LET_DOWN_STEPS = 20;
    /** ΔE00 that nobody sees side by side (common practice, no source). */
    private static final double SEEN = 1;

    @Override
    public Card card() {
        return new Card("what-to-add", "What to add", "The dab is not the colour: what brings it there?");
    }

    @Override
    public List<Question<?>> questions() {
        List<Question<?>> questions = new ArrayList<>(List.of(MIX, DAB));
        questions.addAll(Wanted.QUESTIONS);
        questions.addAll(List.of(FROM, MOST, Sheets.FILM, Sheets.PAPER));
        return List.copyOf(questions);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String vessel = replies.to(MIX);
        StudioView.Composition in = studio.composition(vessel);
        double whole = in.grams().value();
        if (in.shares().isEmpty() || !(whole > 0)) {
            throw new BadInput(MIX.label(), in.name(), "nothing is in it now; pick a mix that holds ink");
        }
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        Wanted wanted = Wanted.of(replies, studio, weight, paper);
        Map<String, Known> inks = new LinkedHashMap<>();
        for (StudioView.Share share : in.shares()) {
            Known known = Known.of(share.material(), studio);
            if (known.rank() < 3) {
                inks.put(share.material().id(), known);
            }
        }
        if (inks.isEmpty()) {
            throw new BadInput(
                    MIX.label(), in.name(), "no ink in it has a colour that is known; give them screen colours");
        }
        List<Correction.Dab> dabs = dabs(replies, studio, vessel, in, List.copyOf(inks.keySet()), weight);
        CieLab dab = dabs.get(dabs.size() - 1).seen();
        List<Known> own = List.copyOf(inks.values());
        Correction correction = new Correction(films(own, weight), paper, Known.D50);
        Correction.Learned learned = correction.learn(dabs);
        Tried best = tried(own, correction, learned, in, wanted, replies);
        if (replies.to(FROM).equals(ALL)) {
            // Each other ink on its own beside those in the mix: two new ones at a time nobody can follow.
            for (Known other : others(studio, inks, dab, wanted.colour(), weight, paper)) {
                List<Known> more = new ArrayList<>(own);
                more.add(other);
                List<Double> strengths = new ArrayList<>(learned.strengths());
                strengths.add(1.0);
                Tried with = tried(
                        more,
                        new Correction(films(more, weight), paper, Known.D50),
                        new Correction.Learned(strengths, learned.film(), learned.l(), learned.a(), learned.b()),
                        in,
                        wanted,
                        replies);
                if (with.additions().difference() < best.additions().difference() - SEEN / 2) {
                    best = with;
                }
            }
        }
        double step = studio.scaleStep().milligrams() / 1000.0;
        Correction.Additions weighable = best.weighable(step, in, wanted.colour());
        Answer answer = told(in, wanted, dab, dabs.size(), learned, own, best.inks(), weighable, step);
        for (String gap : in.gaps()) {
            answer = answer.caution(gap + "; these grams are for what was written down.");
        }
        return Sheets.honest(
                Sheets.wetBesideDry(answer, best.inks()),
                Math.max(
                        wanted.fromScreen() ? 2 : 0,
                        best.inks().stream().mapToInt(Known::rank).max().orElse(0)));
    }

    /** Additions of some inks, and what they were found with. */
    private record Tried(
            List<Known> inks, Correction correction, Correction.Learned learned, Correction.Additions additions) {
        /**
         * The additions to the step of the scale, of an ink to a tenth of it because a let-down of ten times as much can be weighed;
         * and what these give.
         */
        Correction.Additions weighable(double step, StudioView.Composition in, CieLab wanted) {
            List<Double> added = additions.inks().stream()
                    .map(each -> rounded(each, each < LET_DOWN_STEPS * step ? step / 10 : step))
                    .toList();
            double base = rounded(additions.base(), step);
            CieLab expected = correction.after(learned, grams(inks, in), rest(inks, in), added, base);
            return new Correction.Additions(added, base, expected, Difference.ciede2000(wanted, expected));
        }
    }

    private static Tried tried(
            List<Known> inks,
            Correction correction,
            Correction.Learned learned,
            StudioView.Composition in,
            Wanted wanted,
            Replies replies) {
        double most = replies.maybe(MOST)
                .map(mass -> mass.milligrams() / 1000.0)
                .orElse(in.grams().value());
        return new Tried(
                inks,
                correction,
                learned,
                correction.additions(learned, grams(inks, in), rest(inks, in), wanted.colour(), most));
    }

    /** Grams of everything in it but these inks. */
    private static double rest(List<Known> inks, StudioView.Composition in) {
        return Math.max(
                0,
                in.grams().value()
                        - grams(inks, in).stream().mapToDouble(each -> each).sum());
    }

    private static double rounded(double grams, double step) {
        return StrictMath.round(grams / step) * step;
    }

    private static List<Double> grams(List<Known> inks, StudioView.Composition in) {
        return inks.stream()
                .map(ink -> share(in, ink.material().id()) * in.grams().value())
                .toList();
    }

    private static Answer told(
            StudioView.Composition in,
            Wanted wanted,
            CieLab dab,
            int dabs,
            Correction.Learned learned,
            List<Known> own,
            List<Known> used,
            Correction.Additions best,
            double step) {
        double before = Difference.ciede2000(wanted.colour(), dab);
        List<String> lines = new ArrayList<>();
        for (int i = 0; i < used.size(); i++) {
            double grams = best.inks().get(i);
            String name = used.get(i).material().name();
            if (grams > 0 && grams < LET_DOWN_STEPS * step) {
                lines.add(String.format(
                        Locale.ROOT,
                        step < 0.1
                                ? "%.3f g of %s (or %.2f g of it let down, 1 part in 10)"
                                : "%.2f g of %s (or %.1f g of it let down, 1 part in 10)",
                        grams,
                        name,
                        10 * grams));
            } else if (grams > 0) {
                lines.add(String.format(Locale.ROOT, step < 0.1 ? "%.2f g of %s" : "%.1f g of %s", grams, name));
            }
        }
        if (best.base() > 0) {
            lines.add(String.format(
                    Locale.ROOT,
                    step < 0.1 ? "%.2f g of transparent base" : "%.1f g of transparent base",
                    best.base()));
        }
        Answer answer = Answer.titled("What to add");
        if (before <= SEEN) {
            answer = answer.text(String.format(
                    Locale.ROOT, "The dab is off by ΔE00 %.1f: nobody sees that side by side. Leave it.", before));
        } else if (lines.isEmpty()) {
            answer = answer.text(String.format(
                    Locale.ROOT,
                    "The dab is off by ΔE00 %.1f, and nothing that may be added brings it nearer. Start a fresh mix, or let"
                            + " other inks in.",
                    before));
        } else {
            answer = answer.text("Add to " + in.name() + ": " + String.join(", ", lines) + ".")
                    .text(String.format(
                            Locale.ROOT,
                            "The dab is off by ΔE00 %.1f; after this %.1f is left, as computed.",
                            before,
                            best.difference()));
        }
        answer = answer.with(new Answer.Swatches(
                "Wanted, the dab, and what is expected",
                List.of(
                        new Answer.Swatch(
                                "wanted", Srgb.ofD50(wanted.colour()).hex(), Sheets.numbers(wanted.colour()), false),
                        new Answer.Swatch("the dab", Srgb.ofD50(dab).hex(), Sheets.numbers(dab), true),
                        new Answer.Swatch(
                                "expected", Srgb.ofD50(best.expected()).hex(), Sheets.numbers(best.expected())))));
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < own.size(); i++) {
            rows.add(List.of(
                    own.get(i).material().name(),
                    String.format(Locale.ROOT, "%.0f", learned.strengths().get(i) * 100),
                    own.get(i).how()));
        }
        rows.add(List.of(
                "the film of the dab", String.format(Locale.ROOT, "%.0f", learned.film() * 100), "as it was said"));
        boolean odd =
                learned.strengths().stream().anyMatch(each -> Math.abs(StrictMath.log(each)) > 2 * Correction.STRENGTH);
        if (odd) {
            answer = answer.caution(
                    "The dab is far from what these inks should give: either its film is not as heavy as was said,"
                            + " or they are known badly, or something that is in the mix is not written down. Dab again before adding.");
        }
        answer = answer.table(
                "Learned from " + dabs + (dabs == 1 ? " dab" : " dabs"),
                List.of("ink", "% of what was known", "known from"),
                rows);
        return answer.caution(
                        "Add half of it, work it in, dab, let it dry as the wanted one had, and read again: every dab that is"
                                + " written down makes the next step surer.")
                .assumption(
                        String.format(
                                Locale.ROOT,
                                "Inks are as strong as they are known to be, give or take %.0f %%; a dab is read to %.1f",
                                Correction.STRENGTH * 100,
                                Correction.READING),
                        "assumption")
                .assumption(
                        String.format(
                                Locale.ROOT,
                                "The dab's film weighs what was said, give or take %.0f %%",
                                Correction.FILM * 100),
                        "assumption");
    }

    private static List<InkFilm> films(List<Known> inks, double weight) {
        return inks.stream().map(ink -> ink.film().times(weight)).toList();
    }

    private static double share(StudioView.Composition in, String material) {
        return in.shares().stream()
                .filter(share -> share.material().id().equals(material))
                .mapToDouble(share -> Math.max(0, share.share().value()))
                .sum();
    }

    /**
     * What was read of the mix, with what was in it when the film was made; the one typed now is the newest. Photos tell too little,
     * and where one dab was dry wet ones are left out.
     */
    private static List<Correction.Dab> dabs(
            Replies replies,
            StudioView studio,
            String vessel,
            StudioView.Composition in,
            List<String> inks,
            double weight) {
        List<StudioView.ColourReading> readings = studio.colourReadings(vessel).stream()
                .filter(reading -> reading.over().isEmpty()
                        && !ReadFilm.isOverBlack(reading)
                        && !ReadFilm.isPhoto(reading)
                        && ReadFilm.grams(reading) > 0
                        && ReadFilm.seen(reading).isPresent())
                .toList();
        boolean dry = readings.stream().anyMatch(reading -> !ReadFilm.isWet(reading));
        List<Correction.Dab> dabs = new ArrayList<>();
        long newest = Long.MIN_VALUE;
        for (StudioView.ColourReading reading : readings) {
            if (!dry || !ReadFilm.isWet(reading)) {
                StudioView.Composition then = studio.compositionAt(vessel, reading.made());
                dabs.add(new Correction.Dab(
                        inks.stream().map(ink -> share(then, ink)).toList(),
                        reading.gramsPerM2().orElse(weight) / weight,
                        Sheets.seen(ReadFilm.seen(reading).orElseThrow())));
                newest = Math.max(newest, reading.made());
            }
        }
        if (replies.maybe(DAB).isPresent()) {
            dabs.add(new Correction.Dab(
                    inks.stream().map(ink -> share(in, ink)).toList(), 1, CieLab.of(replies.to(DAB))));
        } else if (dabs.isEmpty()) {
            throw new BadInput(
                    DAB.label(),
                    "",
                    "nothing was read of this mix yet; type L* a* b* of a dab, or read one from a file");
        } else if (Mixed.changed(vessel, studio) > newest) {
            throw new BadInput(
                    DAB.label(),
                    "",
                    "something went into the mix after its last dab; make a new one, and type L* a* b* of it");
        }
        return dabs;
    }

    /** Inks that are not in the mix, those first that lie towards the wanted colour. */
    private static List<Known> others(
            StudioView studio, Map<String, Known> in, CieLab dab, CieLab wanted, double weight, Bands paper) {
        return studio.materials().stream()
                .filter(material -> !in.containsKey(material.id()))
                .map(material -> Known.of(material, studio))
                .filter(known -> known.rank() < 3)
                .sorted(java.util.Comparator.comparingDouble(known -> {
                    CieLab seen = Sheets.seen(known.film().times(weight).over(paper));
                    double towards = (wanted.a() - dab.a()) * (seen.a() - dab.a())
                            + (wanted.b() - dab.b()) * (seen.b() - dab.b());
                    return -towards / (1 + StrictMath.hypot(seen.a() - dab.a(), seen.b() - dab.b()));
                }))
                .limit(MOST_OTHERS)
                .toList();
    }
}
