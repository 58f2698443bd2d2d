package slabside.body;

import java.util.List;
import slabside.statistics.DoseBelief;

/**
 * What a modifier does to the body of an ink: by how much the natural logarithm of stiffness changes for each per cent of the mix. It
 * is taken to be a straight line; that holds within the error of the bench up to 8 %, but for strong networks above 4 %.
 *
 * @param slope for each per cent, in the mean over inks
 * @param u standard uncertainty of that
 * @param between standard deviation between inks
 * @param inks that were tried with it
 */
public record Response(double slope, double u, double between, int inks) {
    /** Part of the slope by which inks differ from each other; an assumption. */
    private static final double UNLIKE = 0.25;
    /** How sure of the scatter of readings, in degrees of freedom, and of an ink before it is read, in ln; assumptions. */
    private static final double FREEDOM = 8;

    private static final double ANY_INK = 2;

    public Response {
        Body.above("uncertainty of the slope", u, "");
        Body.within("spread between inks", between, 0, 10, "");
    }

    /** What is believed before anything was tried. */
    public static Response before(double slope, double u) {
        return new Response(slope, u, UNLIKE * Math.abs(slope), 0);
    }

    /**
     * What one ink told by its readings at several shares.
     *
     * @param u standard uncertainty, from the scatter of readings
     */
    public record Tried(double slope, double u) {}

    /**
     * The slope of one ink by least squares.
     *
     * @param shares per cent of the modifier
     * @param logs of stiffness
     * @param scatter standard deviation of a reading, in ln
     */
    public static Tried tried(double[] shares, double[] logs, double scatter) {
        double meanX = 0;
        double meanY = 0;
        for (int i = 0; i < shares.length; i++) {
            meanX += shares[i] / shares.length;
            meanY += logs[i] / shares.length;
        }
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < shares.length; i++) {
            sxx += (shares[i] - meanX) * (shares[i] - meanX);
            sxy += (shares[i] - meanX) * (logs[i] - meanY);
        }
        Body.above("spread of the shares", sxx, "");
        return new Tried(sxy / sxx, scatter / StrictMath.sqrt(sxx));
    }

    /** After other inks were tried. */
    public Response after(List<Tried> others) {
        double precision = 1 / (u * u);
        double weighted = slope * precision;
        for (Tried each : others) {
            double weight = 1 / (each.u() * each.u() + between * between);
            precision += weight;
            weighted += weight * each.slope();
        }
        return new Response(weighted / precision, 1 / StrictMath.sqrt(precision), between, inks + others.size());
    }

    /** Standard uncertainty of the slope of an ink that was not tried. */
    public double forAnother() {
        return StrictMath.hypot(u, between);
    }

    /**
     * What is believed of an ink that was not read.
     *
     * @param log where its stiffness about lies
     * @param scatter standard deviation of a reading, in ln
     */
    public DoseBelief of(double log, double scatter) {
        double s2 = scatter * scatter;
        return new DoseBelief(
                log, slope, ANY_INK * ANY_INK / s2, 0, forAnother() * forAnother() / s2, FREEDOM / 2, FREEDOM / 2 * s2);
    }
}
