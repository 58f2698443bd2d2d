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
 * @param alike part by which two may differ and count as alike, such as 0.1
 */
public record Matching(List<Ink> inks, double scatter, double alike) {
    /** How sure it must be that two are alike. */
    private static final double SURE = 0.9;

    private static final double CONFIDENCE = 0.95;
    /** Least step that is worth its minute, in per cent of the mix. */
    private static final double LEAST = 0.1;

    private static final int HALVINGS = 60;

    public Matching {
        inks = List.copyOf(inks);
        Body.within("readings scatter by", scatter, 0.005, 0.5, "");
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
     * @param log natural logarithm of its stiffness, all at one temperature
     * @param shares per cent of each of its choices at that time
     */
    public record Read(double log, double[] shares) {}

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
        /** They may have; reading this ink once more tells. */
        READ_AGAIN,
        /** Add this much. */
        ADD,
        /** The same, but too little is known to say what the whole will take: a step to learn by. */
        TRY,
        /** Nothing may be added any more within the limits. */
        START_FRESH
    }

    /**
     * @param ink which one; −1 for none
     * @param choice of it, −1 for none
     * @param share to bring that to now, in per cent of the mix
     * @param whole share that would do it all, where it can be said, with its interval of 95 %
     * @param apart ln of the stiffest over the softest
     * @param sure how sure it is that they are alike
     */
    public record Step(
            Next next,
            int ink,
            int choice,
            double share,
            Optional<DoseLine.Dose> whole,
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
        int soft = 0;
        for (int i = 1; i < inks.size(); i++) {
            stiff = bodies.get(i).value() > bodies.get(stiff).value() ? i : stiff;
            soft = bodies.get(i).value() < bodies.get(soft).value() ? i : soft;
        }
        Uncertain apart = new Uncertain(
                bodies.get(stiff).value() - bodies.get(soft).value(),
                StrictMath.hypot(bodies.get(stiff).u(), bodies.get(soft).u()));
        double band = StrictMath.log1p(alike);
        double sure =
                Chance.below((band - apart.value()) / apart.u()) - Chance.below((-band - apart.value()) / apart.u());
        if (stiff == soft || sure >= SURE) {
            return new Step(Next.ALIKE, -1, -1, 0, Optional.empty(), stiff, soft, apart, sure);
        }
        if (apart.value() <= band / 2) {
            int doubtful = bodies.get(stiff).u() > bodies.get(soft).u() ? stiff : soft;
            return new Step(Next.READ_AGAIN, doubtful, -1, 0, Optional.empty(), stiff, soft, apart, sure);
        }
        List<Candidate> candidates = new ArrayList<>();
        candidates(soft, bodies.get(stiff).value(), 1, candidates);
        candidates(stiff, bodies.get(soft).value(), -1, candidates);
        Optional<Candidate> best = candidates.stream()
                .min((one, other) -> one.within() != other.within()
                        ? one.within() ? -1 : 1
                        : Double.compare(one.cost(), other.cost()));
        if (best.isEmpty()) {
            return new Step(Next.START_FRESH, -1, -1, 0, Optional.empty(), stiff, soft, apart, sure);
        }
        Candidate chosen = best.get();
        return new Step(
                chosen.whole().isPresent() ? Next.ADD : Next.TRY,
                chosen.ink(),
                chosen.choice(),
                chosen.share(),
                chosen.whole(),
                stiff,
                soft,
                apart,
                sure);
    }

    /** What could be added to an ink so that it comes to a body. */
    private void candidates(int which, double target, int sign, List<Candidate> found) {
        Ink ink = inks.get(which);
        for (int i = 0; i < ink.choices().size(); i++) {
            Choice choice = ink.choices().get(i);
            DoseBelief belief = ink.belief(i, scatter);
            if (belief.m1() * sign <= 0 || choice.limit() - choice.now() < LEAST) {
                continue;
            }
            double best = (target - belief.m0()) / belief.m1();
            double share = Math.min(Math.min(best, choice.limit()), notPast(belief, choice, target, sign));
            if (share - choice.now() < LEAST) {
                share = Math.min(choice.limit(), choice.now() + LEAST);
            }
            found.add(new Candidate(
                    which,
                    i,
                    share,
                    best,
                    belief.forMean(target, CONFIDENCE),
                    (best - choice.now()) * choice.cost(),
                    best <= choice.limit()));
        }
    }

    /** The largest share that hardly goes past what is alike. */
    private double notPast(DoseBelief belief, Choice choice, double target, int sign) {
        double end = target + sign * StrictMath.log1p(alike);
        double low = choice.now();
        double high = choice.limit();
        for (int i = 0; i < HALVINGS; i++) {
            double middle = (low + high) / 2;
            Uncertain there = belief.mean(middle);
            if (sign * (end - there.value()) > Chance.NINE_OF_TEN * there.u()) {
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
