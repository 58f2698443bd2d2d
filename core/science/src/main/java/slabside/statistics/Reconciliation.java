package slabside.statistics;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.hipparchus.linear.SingularValueDecomposition;

/**
 * Weighings that must balance, adjusted as little as their uncertainties allow, and the one that does not fit named.
 *
 * <p>Least squares under linear constraints r = Ay: W = AVAᵀ, a = VAᵀW⁺r, x = y − a, V_x = V − VAᵀW⁺AV. Global test
 * rᵀW⁺r against χ² with rank(A) degrees of freedom; measurement test z_i = a_i / √(VAᵀW⁺AV)_ii, the largest judged at
 * the Šidák level.
 *
 * @param adjusted one for every reading that stands in a constraint
 * @param chiSquare of the global test
 * @param freedom degrees of freedom of the global test
 * @param p probability of a χ² at least as large when only rounding is at work
 * @see "Narasimhan &amp; Jordache (2000), Data Reconciliation and Gross Error Detection, ch. 3 and 7"
 */
public record Reconciliation(List<Adjusted> adjusted, double chiSquare, int freedom, double p) {
    /** Singular values below this part of the largest count as zero. */
    private static final double RANK_TOLERANCE = 1e-10;
    /** Two |z| this close mean that the readings stand only as a difference and cannot be told apart. */
    private static final double SAME_Z = 1e-6;

    private static final double LEVEL = 0.05;

    public Reconciliation {
        adjusted = List.copyOf(adjusted);
    }

    /**
     * @param key number of the reading
     * @param measured value as read
     * @param reconciled value that balances
     * @param u standard uncertainty of the reconciled value
     * @param z signed measurement test; 0 when nothing checks this reading
     */
    public record Adjusted(int key, String name, double measured, double sd, double reconciled, double u, double z) {}

    /**
     * @param residuals each must be zero but for the uncertainty of its readings; at least one
     */
    public static Optional<Reconciliation> of(Readings readings, List<Propagated> residuals) {
        TreeSet<Integer> used = new TreeSet<>();
        residuals.forEach(r -> {
            for (int key : r.keys()) {
                if (readings.u(key) > 0) {
                    used.add(key);
                }
            }
        });
        if (used.isEmpty() || residuals.isEmpty()) {
            return Optional.empty();
        }
        int[] keys = used.stream().mapToInt(Integer::intValue).toArray();
        RealMatrix a = new Array2DRowRealMatrix(residuals.size(), keys.length);
        RealVector r = new ArrayRealVector(residuals.size());
        RealMatrix v = new Array2DRowRealMatrix(keys.length, keys.length);
        for (int j = 0; j < keys.length; j++) {
            v.setEntry(j, j, readings.u(keys[j]) * readings.u(keys[j]));
        }
        for (int i = 0; i < residuals.size(); i++) {
            r.setEntry(i, residuals.get(i).value());
            for (int j = 0; j < keys.length; j++) {
                a.setEntry(i, j, residuals.get(i).slope(keys[j]));
            }
        }
        return solve(readings, keys, a, r, v);
    }

    private static Optional<Reconciliation> solve(
            Readings readings, int[] keys, RealMatrix a, RealVector r, RealMatrix v) {
        SingularValueDecomposition svd =
                new SingularValueDecomposition(a.multiply(v).multiply(a.transpose()));
        double[] singular = svd.getSingularValues();
        RealMatrix inverse = new Array2DRowRealMatrix(r.getDimension(), r.getDimension());
        int rank = 0;
        for (int i = 0; i < singular.length; i++) {
            if (singular[i] > RANK_TOLERANCE * singular[0] && singular[i] > 0) {
                rank++;
                inverse = inverse.add(svd.getV()
                        .getColumnVector(i)
                        .outerProduct(svd.getU().getColumnVector(i))
                        .scalarMultiply(1 / singular[i]));
            }
        }
        if (rank == 0) {
            return Optional.empty();
        }
        RealMatrix gain = v.multiply(a.transpose()).multiply(inverse);
        RealVector adjustment = gain.operate(r);
        RealMatrix spread = gain.multiply(a).multiply(v);
        List<Adjusted> all = new ArrayList<>();
        for (int j = 0; j < keys.length; j++) {
            double variance = spread.getEntry(j, j);
            double sd = readings.u(keys[j]);
            double z = variance <= RANK_TOLERANCE * sd * sd ? 0 : adjustment.getEntry(j) / StrictMath.sqrt(variance);
            all.add(new Adjusted(
                    keys[j],
                    readings.name(keys[j]),
                    readings.value(keys[j]),
                    sd,
                    readings.value(keys[j]) - adjustment.getEntry(j),
                    StrictMath.sqrt(Math.max(0, sd * sd - variance)),
                    z));
        }
        double chiSquare = r.dotProduct(inverse.operate(r));
        double p = 1 - new ChiSquaredDistribution(rank).cumulativeProbability(chiSquare);
        return Optional.of(new Reconciliation(all, chiSquare, rank, p));
    }

    /** Whether the readings contradict one another beyond their scales' steps, at 5 %. */
    public boolean contradicts() {
        return p < LEVEL;
    }

    /**
     * The readings that fit worst, when the largest |z| passes the Šidák level: one, or those that cannot be told apart
     * from it. Empty when nothing stands out.
     */
    public List<Adjusted> culprits() {
        long judged = adjusted.stream().filter(x -> x.z() != 0).count();
        if (judged == 0 || !contradicts()) {
            return List.of();
        }
        double each = 1 - StrictMath.pow(1 - LEVEL, 1.0 / judged);
        double critical = new NormalDistribution().inverseCumulativeProbability(1 - each / 2);
        double worst = adjusted.stream().mapToDouble(x -> Math.abs(x.z())).max().orElse(0);
        if (worst < critical) {
            return List.of();
        }
        return adjusted.stream()
                .filter(x -> Math.abs(x.z()) >= worst * (1 - SAME_Z))
                .sorted(Comparator.comparing(Adjusted::name))
                .toList();
    }
}
