package slabside.body;

import slabside.measure.BadInput;

/**
 * A known volume of ink pressed between two glass plates under a known load. Each method has a model of its own: a yield stress
 * or a viscosity never stands without it.
 *
 * @param loadKg everything above the ink, the top plate included
 * @param volumeM3 of the ink, above 0
 */
public record Spread(double loadKg, double volumeM3) {
    /** Acceleration of free fall, m/s². */
    public static final double G = 9.80665;

    /** Where a film is thicker than this part of its radius its edge counts. */
    public static final double EDGE_COUNTS = 0.04;

    public Spread {
        Body.above("load", loadKg, "kg");
        Body.above("volume", volumeM3, "m³");
    }

    private double force() {
        return loadKg * G;
    }

    private double height(double diameter) {
        Body.above("diameter", diameter, "m");
        return 4 * volumeM3 / (StrictMath.PI * diameter * diameter);
    }

    /** Whether the edge of the disc counts, so that {@link #yieldWithEdge} is the better one. */
    public boolean edgeCounts(double diameter) {
        return height(diameter) / (diameter / 2) > EDGE_COUNTS;
    }

    /**
     * Yield stress in Pa of a disc that has come to rest; too high while it still creeps.
     *
     * @see "Scott 1935; Covey and Stanmore 1981; Engmann, Servais and Burbidge 2005"
     */
    public double yieldAtRest(double diameter) {
        height(diameter);
        return 48 * force() * volumeM3 / (StrictMath.PI * StrictMath.PI * StrictMath.pow(diameter, 5));
    }

    /**
     * The same between rough plates with what the edge takes.
     *
     * @see "Avitzur 1968, as used by Engmann, Servais and Burbidge 2005"
     */
    public double yieldWithEdge(double diameter) {
        double radius = diameter / 2;
        double h = height(diameter);
        return force()
                / (2 * StrictMath.PI * radius * radius * radius / (3 * h)
                        + StrictMath.sqrt(3) * StrictMath.PI * radius * radius);
    }

    /**
     * Viscosity in Pa·s of an ink without a yield stress.
     *
     * @param before diameter at the beginning, 0 for a heap
     * @param seconds from then to {@code diameter}
     * @see "Stefan 1874; Dienes and Klemm 1946"
     */
    public double viscosity(double before, double diameter, double seconds) {
        Body.above("time", seconds, "s");
        if (!(before >= 0 && diameter > before)) {
            throw new BadInput(
                    "diameter",
                    diameter * 1000 + " mm",
                    "give one larger than at the beginning, " + before * 1000 + " mm");
        }
        return 2048
                * force()
                * volumeM3
                * volumeM3
                * seconds
                / (3 * StrictMath.pow(StrictMath.PI, 3) * (StrictMath.pow(diameter, 8) - StrictMath.pow(before, 8)));
    }

    /** Diameter after a time, of an ink without a yield stress. */
    public double diameter(double viscosity, double before, double seconds) {
        Body.above("viscosity", viscosity, "Pa·s");
        return StrictMath.pow(
                StrictMath.pow(before, 8)
                        + 2048
                                * force()
                                * volumeM3
                                * volumeM3
                                * seconds
                                / (3 * StrictMath.pow(StrictMath.PI, 3) * viscosity),
                0.125);
    }

    /**
     * Flow index of the power law from the diameters after 10 and 100 s, the disc taken to have begun as a heap: 1 for an ink
     * without body of its own, towards 0 for a short one.
     *
     * @see "Scott 1931"
     */
    public static double flowIndex(double after10, double after100) {
        if (!(after10 > 0 && after100 > after10)) {
            throw new BadInput(
                    "diameter after 100 s",
                    after100 * 1000 + " mm",
                    "give one larger than after 10 s, " + after10 * 1000 + " mm");
        }
        double s = StrictMath.log10(after100 / after10);
        if (s >= 1.0 / 3) {
            throw new BadInput(
                    "diameter after 100 s",
                    after100 * 1000 + " mm",
                    "no ink spreads from " + after10 * 1000 + " mm so far; read both again");
        }
        return 5 * s / (1 - 3 * s);
    }

    /** Consistency K of the power law, Pa·sⁿ, by the diameter after a time. */
    public double consistency(double flowIndex, double diameter, double seconds) {
        Body.above("flow index", flowIndex, "");
        Body.above("time", seconds, "s");
        double n = flowIndex;
        double m = 2.5 * (n + 1) / n;
        double h = height(diameter);
        double c = StrictMath.pow(h, 1 - m) / ((m - 1) * seconds);
        return force()
                * (n + 3)
                / (2 * StrictMath.PI)
                * StrictMath.pow(n / (2 * n + 1), n)
                * StrictMath.pow(volumeM3 / StrictMath.PI, -(n + 3) / 2)
                / StrictMath.pow(c, n);
    }

    /** Slope of the diameter over ten times the time, as spread meters of the trade tell it (JIS K 5701-1, from memory). */
    public static double slope(double after10, double after100) {
        return after100 - after10;
    }

    /** Diameter at 1 s on that line. */
    public static double intercept(double after10, double after100) {
        return 2 * after10 - after100;
    }

    /**
     * Diameter after a time of an ink that yields and then flows (Bingham).
     *
     * @param beginning height at the beginning, m
     * @see "Covey and Stanmore 1981, at constant volume"
     */
    public double bingham(double yield, double viscosity, double beginning, double seconds) {
        Body.above("yield stress", yield, "Pa");
        Body.above("viscosity", viscosity, "Pa·s");
        // By the logarithm of height: it falls fast at first and then hardly at all.
        double log = StrictMath.log(beginning);
        double time = 0;
        double step = 1e-6;
        while (time < seconds) {
            step = Math.min(step, seconds - time);
            double whole = rungeKutta(log, step, yield, viscosity);
            double half = rungeKutta(rungeKutta(log, step / 2, yield, viscosity), step / 2, yield, viscosity);
            double off = Math.abs(whole - half);
            if (off <= TOLERANCE) {
                time += step;
                log = half;
                if (rate(log, yield, viscosity) == 0) {
                    break;
                }
            }
            step *= off == 0 ? 4 : Math.max(0.2, Math.min(4, 0.9 * StrictMath.pow(TOLERANCE / off, 0.2)));
        }
        return StrictMath.sqrt(4 * volumeM3 / (StrictMath.PI * StrictMath.exp(log)));
    }

    private static final double TOLERANCE = 1e-8;

    private double rungeKutta(double log, double step, double yield, double viscosity) {
        double k1 = rate(log, yield, viscosity);
        double k2 = rate(log + step / 2 * k1, yield, viscosity);
        double k3 = rate(log + step / 2 * k2, yield, viscosity);
        double k4 = rate(log + step * k3, yield, viscosity);
        return log + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }

    /** Change of ln h in a second, 0 where the load no longer moves it. */
    private double rate(double log, double yield, double viscosity) {
        double h = StrictMath.exp(log);
        double radius = StrictMath.sqrt(volumeM3 / (StrictMath.PI * h));
        double g = force() * 3 * h / (2 * StrictMath.PI * yield * radius * radius * radius);
        return g <= 1 ? 0 : -Squeeze.lambda(g) * h * yield / (3 * viscosity * radius);
    }

    /**
     * Yield stress and viscosity of an ink that yields and then flows.
     *
     * @param viscosity in Pa·s; the plastic one
     */
    public record Bingham(double yield, double viscosity) {}

    /**
     * From two readings of one disc.
     *
     * @param beginning height at the beginning, m
     * @throws BadInput when no such ink spreads so: at rest already, or as one without a yield stress
     */
    public Bingham bingham(double early, double earlySeconds, double late, double lateSeconds, double beginning) {
        if (!(late > early && lateSeconds > earlySeconds && earlySeconds > 0)) {
            throw new BadInput(
                    "later diameter", late * 1000 + " mm", "give one larger and later than " + early * 1000 + " mm");
        }
        // Twice as thick an ink takes twice as long: how the times of both diameters stand to each other tells the
        // yield stress
        // alone.
        double low = yieldAtRest(late) * 1e-5;
        double high = yieldAtRest(late) * (1 - 1e-7);
        double ratio = lateSeconds / earlySeconds;
        if (!(ratio(low, early, late, beginning) <= ratio) || !(ratio(high, early, late, beginning) >= ratio)) {
            throw new BadInput(
                    "diameters",
                    early * 1000 + " and " + late * 1000 + " mm",
                    "no ink that yields and then flows spreads so; read both again, or later");
        }
        for (int i = 0; i < HALVINGS; i++) {
            double middle = StrictMath.sqrt(low * high);
            if (ratio(middle, early, late, beginning) < ratio) {
                low = middle;
            } else {
                high = middle;
            }
        }
        double yield = StrictMath.sqrt(low * high);
        return new Bingham(yield, lateSeconds / seconds(yield, late, beginning));
    }

    private double ratio(double yield, double early, double late, double beginning) {
        return seconds(yield, late, beginning) / seconds(yield, early, beginning);
    }

    /** Seconds that an ink of this yield stress and 1 Pa·s takes to a diameter. */
    private double seconds(double yield, double diameter, double beginning) {
        double end = StrictMath.log(height(diameter));
        double whole = StrictMath.log(beginning) - end;
        double sum = 0;
        for (int i = 0; i < SLICES; i++) {
            // Thinner slices towards the end, where it hardly moves.
            double from = cube(i / (double) SLICES);
            double to = cube((i + 1) / (double) SLICES);
            for (int side = -1; side <= 1; side++) {
                double at = (from + to) / 2 + side * (to - from) / 2 * GAUSS;
                sum += (side == 0 ? 8 : 5) / 18.0 * (to - from) * whole / -rate(end + whole * at, yield, 1);
            }
        }
        return sum;
    }

    private static double cube(double value) {
        return value * value * value;
    }

    private static final int HALVINGS = 80;
    private static final int SLICES = 200;
    /** Outer points of Gauss's rule of three. */
    private static final double GAUSS = 0.7745966692414834;

    /**
     * Relative standard uncertainty of a yield stress at rest: the diameter counts five times.
     *
     * @param load relative, as the others
     */
    public static double uncertainty(double load, double volume, double diameter) {
        return StrictMath.sqrt(load * load + volume * volume + 25 * diameter * diameter);
    }
}
