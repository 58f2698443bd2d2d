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
    private static final int PLACES = 401;
    private static final double WIDEST = 4;
    private static final int HALVINGS = 60;

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
        double worth() {
            return StrictMath.pow(Q, (celsius - REFERENCE) / 10)
                    * StrictMath.exp(DRIER * drier - SLOWER * Math.max(0, base - BASE));
        }
    }

    /**
     * A time that somebody tried.
     *
     * @param hours since it was printed
     */
    public record Tried(Layer layer, double hours, boolean dry) {
        public Tried {
            Body.above("hours", hours, "h");
        }
    }

    /** What is believed after some trials; each of a layer of its own. */
    public Drying(List<Tried> tried) {
        double sum = 0;
        for (int i = 0; i < PLACES; i++) {
            double z = WIDEST * (2.0 * i / (PLACES - 1) - 1);
            middles[i] = StrictMath.log(MIDDLE) + DOUBT * z;
            weights[i] = StrictMath.exp(-z * z / 2);
            for (Tried each : tried) {
                double dry =
                        Chance.below((StrictMath.log(each.hours() * each.layer().worth()) - middles[i]) / SCATTER);
                weights[i] *= each.dry() ? dry : 1 - dry;
            }
            sum += weights[i];
        }
        Body.above("chance of these trials", sum, "");
        for (int i = 0; i < PLACES; i++) {
            weights[i] /= sum;
        }
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
            double now = Chance.below((StrictMath.log(hours * layer.worth()) - middles[i]) / SCATTER);
            double then =
                    notYet == 0 ? 0 : Chance.below((StrictMath.log(notYet * layer.worth()) - middles[i]) / SCATTER);
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
