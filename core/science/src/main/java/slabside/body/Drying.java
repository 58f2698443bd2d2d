package slabside.body;

import java.util.List;
import slabside.statistics.Chance;

/**
 * How long layers take until they are rub-dry, from times at which somebody tried: dry, or not yet. The logarithm of the hours at
 * {@link #REFERENCE} without drier is taken to scatter normally about a middle that is learned.
 */
public final class Drying {
    /** °C. */
    public static final double REFERENCE = 20;
    /** Times faster for 10 K, and natural logarithms faster for a per cent of drier; slower for a per cent of base above {@link #BASE}. Assumptions. */
    private static final double Q = 2;

    private static final double DRIER = 0.4;
    private static final double SLOWER = 0.01;
    private static final double BASE = 60;

    /** Overnight to 48 h is common practice: the middle of that, with a wide doubt; and scatter of layers about it. Assumptions. */
    private static final double MIDDLE = 30;

    private static final double DOUBT = 0.5;
    private static final double SCATTER = 0.4;
    /** Chance that a trial tells nothing, as when a time was written down wrongly; an assumption. */
    private static final double SLIP = 0.05;
    /** Per cent of drier above which more does nothing more; an assumption. */
    private static final double MOST_DRIER = 2.5;

    private static final int PLACES = 81;
    private static final double WIDEST = 4;
    private static final int HALVINGS = 40;

    private final double[] middles = new double[PLACES];
    private final double[] weights = new double[PLACES];

    /**
     * @param celsius of the room
     * @param drier per cent of the ink
     * @param base per cent of the ink
     */
    public record Layer(double celsius, double drier, double base) {
        public Layer {
            Body.within("temperature", celsius, 0, 45, "°C");
            Body.within("drier", drier, 0, 100, "%");
            Body.within("base", base, 0, 100, "%");
        }

        /** How many hours at {@link #REFERENCE} without drier an hour here is worth. */
        public double worth() {
            return Films.hoursToDry(1, celsius, REFERENCE, Q)
                    * StrictMath.exp(DRIER * Math.min(MOST_DRIER, drier) - SLOWER * Math.max(0, base - BASE));
        }
    }

    /**
     * A layer that somebody tried, with hours since it was printed.
     *
     * @param notYet when it was not dry yet the last time; 0 when nobody found it so
     * @param dryBy when it was dry the first time; infinite when nobody found it so
     */
    public record Tried(Layer layer, double notYet, double dryBy) {
        public Tried {
            Body.above("hours", dryBy == Double.POSITIVE_INFINITY ? 1 : dryBy, "h");
            Body.within("hours", notYet, 0, dryBy, "h");
        }
    }

    /** What is believed after some layers were tried. */
    public Drying(List<Tried> tried) {
        double sum = 0;
        for (int i = 0; i < PLACES; i++) {
            double z = WIDEST * (2.0 * i / (PLACES - 1) - 1);
            middles[i] = StrictMath.log(MIDDLE) + DOUBT * z;
            weights[i] = StrictMath.exp(-z * z / 2);
            for (Tried each : tried) {
                weights[i] *= SLIP
                        + (1 - SLIP) * (dryBy(each.layer(), each.dryBy(), i) - dryBy(each.layer(), each.notYet(), i));
            }
            sum += weights[i];
        }
        for (int i = 0; i < PLACES; i++) {
            weights[i] /= sum;
        }
    }

    /** Chance that it is dry by then, if one of the middles is the true one. */
    private double dryBy(Layer layer, double hours, int middle) {
        return hours == 0
                ? 0
                : hours == Double.POSITIVE_INFINITY
                        ? 1
                        : Chance.below((StrictMath.log(hours * layer.worth()) - middles[middle]) / SCATTER);
    }

    /** Chance that a layer is dry after some hours. */
    public double chance(Layer layer, double hours) {
        return chance(layer, hours, 0);
    }

    /**
     * The same of one that was tried and was not dry yet.
     *
     * @param notYet hours after which it was not; 0 when nobody tried
     */
    public double chance(Layer layer, double hours, double notYet) {
        if (hours <= notYet) {
            return 0;
        }
        double both = 0;
        double open = 0;
        for (int i = 0; i < PLACES; i++) {
            double now = dryBy(layer, hours, i);
            double then = dryBy(layer, notYet, i);
            both += weights[i] * (now - then);
            open += weights[i] * (1 - then);
        }
        return both / Math.max(1e-12, open);
    }

    /** Hours after which a layer is dry with this chance. */
    public double hours(Layer layer, double chance, double notYet) {
        Body.within("chance", chance, 0.01, 0.99, "");
        double low = Math.max(notYet, 1e-3);
        double high = 10_000;
        for (int i = 0; i < HALVINGS; i++) {
            double middle = StrictMath.sqrt(low * high);
            if (chance(layer, middle, notYet) < chance) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return StrictMath.sqrt(low * high);
    }
}
