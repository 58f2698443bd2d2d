package slabside.ink;

import java.util.HashMap;
import java.util.Map;
import slabside.statistics.Propagated;

/** An amount in grams that may still depend on numbers not known yet: known + Σ factor × unknown. Immutable. */
record Linear(Propagated known, Map<String, Double> factors) {
    static final Linear ZERO = of(Propagated.ZERO);

    static Linear of(Propagated known) {
        return new Linear(known, Map.of());
    }

    static Linear unknown(String name, double factor) {
        return new Linear(Propagated.ZERO, Map.of(name, factor));
    }

    Linear plus(Linear other) {
        return combine(other, 1);
    }

    Linear minus(Linear other) {
        return combine(other, -1);
    }

    private Linear combine(Linear other, double sign) {
        Propagated sum = sign > 0 ? known.plus(other.known) : known.minus(other.known);
        if (other.factors.isEmpty()) {
            return new Linear(sum, factors);
        }
        Map<String, Double> merged = new HashMap<>(factors);
        other.factors.forEach((name, factor) -> {
            double total = merged.getOrDefault(name, 0.0) + sign * factor;
            if (total == 0) {
                merged.remove(name);
            } else {
                merged.put(name, total);
            }
        });
        return new Linear(sum, merged);
    }

    /** With every number found so far put in. */
    Linear with(Map<String, Propagated> found) {
        Linear result = this;
        for (var factor : factors.entrySet()) {
            Propagated value = found.get(factor.getKey());
            if (value != null) {
                result = result.combine(unknown(factor.getKey(), factor.getValue()), -1)
                        .plus(of(value.times(factor.getValue())));
            }
        }
        return result;
    }
}
