package slabside.statistics;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import slabside.measure.BadInput;

/**
 * The independent readings of one calculation, each with its standard uncertainty. Mutable while a calculation runs; not
 * thread-safe.
 */
public final class Readings {
    /** Standard uncertainty of one reading of a scale of step 1: rectangular, ±½ step (JCGM 100:2008, F.2.2.1). */
    public static final double PER_STEP = 1 / StrictMath.sqrt(12);

    private final Map<String, Integer> numbers = new HashMap<>();
    private final List<String> names = new ArrayList<>();
    private final List<Double> values = new ArrayList<>();
    private final List<Double> uncertainties = new ArrayList<>();

    /**
     * The reading called {@code name}; a second mention of a name is the same reading.
     *
     * @param u standard uncertainty, zero or more, in the unit of {@code value}
     */
    public Propagated reading(String name, double value, double u) {
        if (!(u >= 0) || !Double.isFinite(value)) {
            throw new BadInput(
                    "reading " + name, value + " ± " + u, "a reading must be finite, its uncertainty zero or more");
        }
        Integer known = numbers.putIfAbsent(name, names.size());
        if (known != null) {
            return Propagated.of(value, known);
        }
        names.add(name);
        values.add(value);
        uncertainties.add(u);
        return Propagated.of(value, names.size() - 1);
    }

    public int size() {
        return names.size();
    }

    public String name(int key) {
        return names.get(key);
    }

    public double value(int key) {
        return values.get(key);
    }

    public double u(int key) {
        return uncertainties.get(key);
    }
}
