package slabside.body;

import slabside.measure.BadInput;

/**
 * Lines through stresses at shear rates, for those who have a viscometer. The same readings give quite other yield stresses by
 * each model: one never stands without its model.
 */
public final class FlowCurve {
    /** Shear rates of ASTM D4040 (from memory), 1/s. */
    private static final double FAST = 2_500;

    private static final double SLOW = 2.5;

    private final double[] rates;
    private final double[] stresses;

    /**
     * @param rates 1/s, above 0, two different ones at least
     * @param stresses Pa, above 0
     */
    public FlowCurve(double[] rates, double[] stresses) {
        if (rates.length != stresses.length || rates.length < 2) {
            throw new BadInput(
                    "readings", rates.length + " rates, " + stresses.length + " stresses", "give two of both at least");
        }
        boolean different = false;
        for (int i = 0; i < rates.length; i++) {
            Body.above("shear rate", rates[i], "1/s");
            Body.above("shear stress", stresses[i], "Pa");
            different |= rates[i] != rates[0];
        }
        if (!different) {
            throw new BadInput("shear rates", rates[0] + " 1/s", "give different ones");
        }
        this.rates = rates.clone();
        this.stresses = stresses.clone();
    }

    /**
     * An ink that yields and then flows.
     *
     * @param viscosity Pa·s; of a Bingham body the plastic one
     */
    public record Yielding(double yield, double viscosity) {
        /** How short it is, 1/s. */
        public double shortness() {
            return yield / viscosity;
        }

        /** How long, s. */
        public double length() {
            return viscosity / yield;
        }
    }

    /**
     * A power law.
     *
     * @param index 1 for an ink without body of its own
     * @param consistency Pa·sⁿ
     */
    public record Power(double index, double consistency) {
        public double viscosityAt(double rate) {
            return consistency * StrictMath.pow(rate, index - 1);
        }

        public double stressAt(double rate) {
            return consistency * StrictMath.pow(rate, index);
        }

        /** Stress at 2.5/s by viscosity at 2500/s, 1/s. */
        public double shortness() {
            return stressAt(SLOW) / viscosityAt(FAST);
        }
    }

    /** Shortness of a power law by its index alone, 1/s. */
    public static double shortness(double index) {
        return FAST * StrictMath.pow(10, -3 * index);
    }

    /** Stress over rate. */
    public Yielding bingham() {
        double[] line = line(rates, stresses);
        return new Yielding(line[0], line[1]);
    }

    /** Their roots over each other. */
    public Yielding casson() {
        double[] line = line(each(rates, StrictMath::sqrt), each(stresses, StrictMath::sqrt));
        return new Yielding(line[0] * line[0], line[1] * line[1]);
    }

    /** Their logarithms over each other. */
    public Power power() {
        double[] line = line(each(rates, StrictMath::log), each(stresses, StrictMath::log));
        return new Power(line[1], StrictMath.exp(line[0]));
    }

    /** Stress of a Casson body. */
    public static double casson(double yield, double viscosity, double rate) {
        double root = StrictMath.sqrt(yield) + StrictMath.sqrt(viscosity * rate);
        return root * root;
    }

    private static double[] each(double[] values, java.util.function.DoubleUnaryOperator change) {
        return java.util.Arrays.stream(values).map(change).toArray();
    }

    /** Intercept and slope of least squares. */
    private static double[] line(double[] x, double[] y) {
        double meanX = java.util.Arrays.stream(x).average().orElseThrow();
        double meanY = java.util.Arrays.stream(y).average().orElseThrow();
        double xy = 0;
        double xx = 0;
        for (int i = 0; i < x.length; i++) {
            xy += (x[i] - meanX) * (y[i] - meanY);
            xx += (x[i] - meanX) * (x[i] - meanX);
        }
        double slope = xy / xx;
        return new double[] {meanY - slope * meanX, slope};
    }
}
