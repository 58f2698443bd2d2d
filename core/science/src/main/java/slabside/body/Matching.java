package slabside.body;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.statistics.Chance;
import slabside.statistics.DoseBelief;
import slabside.statistics.DoseLine;

/**
 * Two or more inks that are to have the same body: what to add to which, one small step after the other, with a reading after each.
 *
 * @param inks two at least
 * @param scatter standard deviation of one reading, in ln
 * @param perKelvin standard uncertainty of what warmth does to stiffness, in ln for each kelvin
 * @param alike part by which two may differ and count as alike, such as 0.1
 */
public record Matching(List<Ink> inks, double scatter, double perKelvin, double alike) {
    /** How sure it must be that two are alike. */
    private static final double SURE = 0.9;

    private static final double CONFIDENCE = 0.95;
    /** Per cent by which a share may differ and be the same. */
    private static final double SAME = 0.05;
    /** Least step that is worth its minute, in per cent of the mix. */
    private static final double LEAST = 0.1;

    private static final int HALVINGS = 60;

    public Matching {
        inks = List.copyOf(inks);
        Body.within("readings scatter by", scatter, 0.005, 0.5, "");
        Body.within("what warmth does is known within", perKelvin, 0, 1, "");
        Body.within("alike within", alike, 0.01, 1, "");
        if (inks.size() < 2) {
            throw new BadInput("inks", inks.size(), "give two at least");
        }
        for (Ink ink : inks) {
            if (ink.reads().isEmpty()) {
                throw new BadInput("ink " + ink.name(), "no reading", "read its spread first");
            }
        }
    }

    /**
     * What may be added to an ink.
     *
     * @param now its share in per cent of the mix
     * @param limit share above which it is not taken
     * @param cost of one per cent more, such as by how far it moves the colour; the least is taken
     */
    public record Choice(Response response, double now, double limit, double cost) {}

    /**
     * How stiff an ink was.
     *
     * @param log natural logarithm of its stiffness, brought to one temperature
     * @param kelvins from that temperature at which it was read
     * @param shares per cent of each of its choices at that time
     */
    public record Read(double log, double kelvins, double[] shares) {}

    /**
     * An ink as it stands.
     *
     * @param reads of it with the same proportions but for its choices
     */
    public record Ink(String name, List<Read> reads, List<Choice> choices) {
        public Ink {
            reads = List.copyOf(reads);
            choices = List.copyOf(choices);
        }

        /** What is believed of it over the share of one of its choices, the others being as they are now. */
        public DoseBelief belief(int choice, double scatter) {
            DoseBelief belief = choices.get(choice).response().of(reads.get(0).log(), scatter);
            for (Read read : reads) {
                belief = belief.after(read.shares()[choice], read.log() - others(read, choice));
            }
            return belief;
        }

        /** By how much other choices moved it since, as far as is known. */
        private double others(Read read, int choice) {
            double moved = 0;
            for (int i = 0; i < choices.size(); i++) {
                if (i != choice) {
                    moved += choices.get(i).response().slope()
                            * (read.shares()[i] - choices.get(i).now());
                }
            }
            return moved;
        }

        /** Whether it was read since something went into it. */
        boolean isRead() {
            return reads.stream().anyMatch(read -> {
                for (int i = 0; i < choices.size(); i++) {
                    if (Math.abs(read.shares()[i] - choices.get(i).now()) > SAME) {
                        return false;
                    }
                }
                return true;
            });
        }

        /** How far from the reference its readings were taken, in the mean. */
        double kelvins() {
            return reads.stream().mapToDouble(Read::kelvins).average().orElse(0);
        }

        /** The choice whose share changed most between its readings. */
        int changed() {
            int most = 0;
            double widest = -1;
            for (int i = 0; i < choices.size(); i++) {
                double low = choices.get(i).now();
                double high = low;
                for (Read read : reads) {
                    low = Math.min(low, read.shares()[i]);
                    high = Math.max(high, read.shares()[i]);
                }
                if (high - low > widest) {
                    widest = high - low;
                    most = i;
                }
            }
            return most;
        }

        /** ln of its stiffness now. */
        public Uncertain body(double scatter) {
            if (choices.isEmpty()) {
                double mean = reads.stream().mapToDouble(Read::log).average().orElseThrow();
                return new Uncertain(mean, scatter / StrictMath.sqrt(reads.size()));
            }
            int choice = changed();
            return belief(choice, scatter).mean(choices.get(choice).now());
        }
    }

    /** What to do next. */
    public enum Next {
        /** They have the same body. */
        ALIKE,
        /** This ink was not read since something went into it. */
        READ,
        /** They may have the same body; reading this ink once more tells. */
        READ_AGAIN,
        /** Add this much. */
        ADD,
        /** The same, but too little is known to say what the whole will take: a step to learn by. */
        TRY,
        /** Nothing may be added any more within the limits. */
        START_FRESH,
        /** Nothing that may be added is known to act the right way. */
        NO_WAY
    }

    /**
     * @param ink which one; −1 for none
     * @param choice of it, −1 for none
     * @param share to bring that to now, in per cent of the mix
     * @param whole share that would do it all, where it can be said, with its interval of 95 %
     * @param fits whether that is within the limit, as far as is known
     * @param apart ln of the stiffest over the softest
     * @param sure how sure it is that they are alike
     */
    public record Step(
            Next next,
            int ink,
            int choice,
            double share,
            Optional<DoseLine.Dose> whole,
            boolean fits,
            int stiffest,
            int softest,
            Uncertain apart,
            double sure) {}

    /** One thing that could be done. */
    private record Candidate(
            int ink,
            int choice,
            double share,
            double best,
            Optional<DoseLine.Dose> whole,
            double cost,
            boolean within) {}

    /** What to do next. */
    public Step next() {
        List<Uncertain> bodies = inks.stream().map(ink -> ink.body(scatter)).toList();
        int stiff = 0;
        for (int i = 1; i < inks.size(); i++) {
            stiff = bodies.get(i).value() > bodies.get(stiff).value() ? i : stiff;
        }
        int soft = stiff == 0 ? 1 : 0;
        for (int i = 0; i < inks.size(); i++) {
            soft = i != stiff && bodies.get(i).value() < bodies.get(soft).value() ? i : soft;
        }
        double warmth = perKelvin * (inks.get(stiff).kelvins() - inks.get(soft).kelvins());
        Uncertain apart = new Uncertain(
                bodies.get(stiff).value() - bodies.get(soft).value(),
                StrictMath.hypot(
                        warmth,
                        StrictMath.hypot(bodies.get(stiff).u(), bodies.get(soft).u())));
        double band = StrictMath.log1p(alike);
        double sure =
                Chance.below((band - apart.value()) / apart.u()) - Chance.below((-band - apart.value()) / apart.u());
        Said said = new Said(stiff, soft, apart, sure);
        for (int i = 0; i < inks.size(); i++) {
            if (!inks.get(i).isRead()) {
                return said.of(Next.READ, i);
            }
        }
        if (sure >= SURE) {
            return said.of(Next.ALIKE, -1);
        }
        if (apart.value() <= Math.max(band / 2, Chance.NINE_OF_TEN * apart.u()) || Math.abs(warmth) > band) {
            // Nothing is added on the strength of a correction for warmth that is less sure than what counts as alike.
            return said.of(
                    Next.READ_AGAIN, bodies.get(stiff).u() > bodies.get(soft).u() ? stiff : soft);
        }
        List<Candidate> candidates = new ArrayList<>();
        boolean act = candidates(soft, target(bodies.get(stiff), warmth), 1, candidates)
                | candidates(stiff, target(bodies.get(soft), warmth), -1, candidates);
        Optional<Candidate> best = candidates.stream()
                .min((one, other) -> one.within() != other.within()
                        ? one.within() ? -1 : 1
                        : Double.compare(one.cost(), other.cost()));
        if (best.isEmpty()) {
            return said.of(act ? Next.START_FRESH : Next.NO_WAY, -1);
        }
        Candidate chosen = best.get();
        return new Step(
                chosen.whole().isPresent() ? Next.ADD : Next.TRY,
                chosen.ink(),
                chosen.choice(),
                chosen.share(),
                chosen.whole(),
                chosen.within(),
                stiff,
                soft,
                apart,
                sure);
    }

    private static Uncertain target(Uncertain body, double warmth) {
        return new Uncertain(body.value(), StrictMath.hypot(body.u(), warmth));
    }

    /** How they stand, whatever is to be done. */
    private record Said(int stiff, int soft, Uncertain apart, double sure) {
        Step of(Next next, int ink) {
            return new Step(next, ink, -1, 0, Optional.empty(), false, stiff, soft, apart, sure);
        }
    }

    /**
     * What could be added to an ink so that it comes to a body.
     *
     * @return whether anything acts that way at all
     */
    private boolean candidates(int which, Uncertain target, int sign, List<Candidate> found) {
        Ink ink = inks.get(which);
        boolean act = false;
        for (int i = 0; i < ink.choices().size(); i++) {
            Choice choice = ink.choices().get(i);
            DoseBelief belief = ink.belief(i, scatter);
            if (belief.m1() * sign <= 0) {
                continue;
            }
            act = true;
            if (choice.limit() - choice.now() < LEAST) {
                continue;
            }
            double best = (target.value() - belief.m0()) / belief.m1();
            double share = Math.min(Math.min(best, choice.limit()), notPast(belief, choice, target, sign));
            found.add(new Candidate(
                    which,
                    i,
                    Math.max(share, Math.min(choice.limit(), choice.now() + LEAST)),
                    best,
                    belief.forMean(target, CONFIDENCE),
                    (best - choice.now()) * choice.cost(),
                    best <= choice.limit()));
        }
        return act;
    }

    /** The largest share that hardly goes past what is alike. */
    private double notPast(DoseBelief belief, Choice choice, Uncertain target, int sign) {
        double end = target.value() + sign * StrictMath.log1p(alike);
        double low = choice.now();
        double high = choice.limit();
        for (int i = 0; i < HALVINGS; i++) {
            double middle = (low + high) / 2;
            Uncertain there = belief.mean(middle);
            if (sign * (end - there.value()) > Chance.NINE_OF_TEN * StrictMath.hypot(there.u(), target.u())) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return low;
    }

    /** g to add to an ink so that a share becomes another, in per cent. */
    public static double grams(double ink, double now, double share) {
        Body.above("ink", ink, "g");
        Body.within("share", share, now, 99, "%");
        return ink * (share - now) / (100 - share);
    }
}
