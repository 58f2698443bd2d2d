package slabside.colour;

import java.util.Optional;

/** The standard observer (CIE 15). */
public enum Observer {
    /** CIE 1931, 2°. */
    TWO_DEGREES,
    /** CIE 1964, 10°. */
    TEN_DEGREES;

    /** The one that a text means, such as "2°", "CIE 1964" or "D65/10"; empty when it names neither. */
    public static Optional<Observer> named(String text) {
        return text.matches(".*\\b(10|1964)\\b.*")
                ? Optional.of(TEN_DEGREES)
                : text.matches(".*\\b(2|1931)\\b.*") ? Optional.of(TWO_DEGREES) : Optional.empty();
    }
}
