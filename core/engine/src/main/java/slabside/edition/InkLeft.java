package slabside.edition;

import java.util.List;
import java.util.Optional;
import slabside.event.ThingId;
import slabside.ink.Ledger;
import slabside.measure.Uncertain;

/**
 * For how many more pulls the ink lasts that stands beside the slab. What is on slab and roller is left out: it is the
 * working film, and stays there to the end.
 *
 * @param beside grams in the cups that feed the load
 * @param perPull grams a pull takes
 * @param learned from a weighing of this run, not from the studio's past or an assumption
 * @param about pulls, rounded down; with {@code low} and {@code high} at twice the standard uncertainty
 * @param keep grams to keep of the old ink, so that a second batch can be matched against it
 */
public record InkLeft(
        ThingId load,
        List<ThingId> mixes,
        Uncertain beside,
        Uncertain perPull,
        boolean learned,
        int about,
        int low,
        int high,
        double keep) {
    /** Parts of the batch, grams and pulls of old ink to match a new batch against (common practice, no source). */
    private static final double KEEP_OF_BATCH = 0.1;

    private static final double KEEP_GRAMS = 5;
    private static final int KEEP_PULLS = 6;
    /** How many pulls before the old ink runs down to what must be kept the warning comes. */
    private static final int TIME_TO_MIX = 10;

    /** Empty while no mix feeds the load, or how much is left of one is not known. */
    static Optional<InkLeft> of(Ledger ledger, ThingId load, List<ThingId> mixes) {
        if (mixes.isEmpty()) {
            return Optional.empty();
        }
        double beside = 0;
        double besideU = 0;
        double batch = 0;
        for (ThingId mix : mixes) {
            Optional<Uncertain> left = ledger.left(mix).grams();
            if (left.isEmpty()) {
                return Optional.empty();
            }
            beside += Math.max(0, left.get().value());
            besideU = StrictMath.hypot(besideU, left.get().u());
            batch = Math.max(batch, batch(ledger, mix));
        }
        Ledger.PerPull rate = ledger.perPull(List.of(load)).orElseThrow();
        double grams = rate.grams().value();
        double least = Math.max(grams - rate.grams().expanded(), grams / 10);
        double most = grams + rate.grams().expanded();
        double keep = Math.max(KEEP_OF_BATCH * batch, Math.max(KEEP_GRAMS, KEEP_PULLS * grams));
        return Optional.of(new InkLeft(
                load,
                mixes,
                new Uncertain(beside, besideU),
                rate.grams(),
                rate.learned(),
                (int) (beside / grams),
                (int) (Math.max(0, beside - 2 * besideU) / most),
                (int) ((beside + 2 * besideU) / least),
                keep));
    }

    /** All that ever went into a mix. */
    private static double batch(Ledger ledger, ThingId mix) {
        return ledger.steps(mix).stream()
                .filter(step -> step.to().equals(mix))
                .mapToDouble(step -> step.grams().map(Uncertain::value).orElse(0.0))
                .sum();
    }

    /** Grams that are short for so many more pulls; 0 when the ink lasts. */
    public double shortFor(int pulls) {
        return Math.max(0, pulls * perPull.value() - beside.value());
    }

    /** Whether it is time to mix a second batch: the ink does not last, and soon there is too little left to match against. */
    public boolean mixNow(int pulls) {
        return shortFor(pulls) > 0 && beside.value() <= keep + TIME_TO_MIX * perPull.value();
    }

    /** Whether less is left than a second batch should be matched against. */
    public boolean tooLateToMatch(int pulls) {
        return shortFor(pulls) > 0 && beside.value() < keep;
    }
}
