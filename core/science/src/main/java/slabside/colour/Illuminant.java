package slabside.colour;

/** The light under which a print is looked at (CIE 15). */
public enum Illuminant {
    /** Incandescent lamp, 2856 K. */
    A,
    /** Daylight of 5003 K, in which prints are judged (ISO 3664). */
    D50,
    /** Daylight of 6504 K, that of screens. */
    D65
}
