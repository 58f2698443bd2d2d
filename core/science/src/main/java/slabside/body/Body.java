package slabside.body;

import slabside.measure.BadInput;

/** What is asked of numbers here. */
final class Body {
    private Body() {}

    static double above(String field, double value, String unit) {
        if (!(value > 0) || Double.isInfinite(value)) {
            throw new BadInput(field, value + (unit.isEmpty() ? "" : " " + unit), "give a number above 0");
        }
        return value;
    }

    static double within(String field, double value, double low, double high, String unit) {
        if (!(value >= low && value <= high)) {
            throw new BadInput(
                    field,
                    value + (unit.isEmpty() ? "" : " " + unit),
                    "give " + low + " to " + high + (unit.isEmpty() ? "" : " " + unit));
        }
        return value;
    }
}
