package slabside.event;

/** What the papers of an edition ask for and no event at the slab or press tells. */
public enum StatedFact {
    YEAR,
    PUBLISHER,
    WORKSHOP,
    JOB_NUMBER,
    PROCESS,
    /** Whether the number is limited, and how. */
    LIMITED,
    /** Who made the image on stone or plate. */
    MASTER_MADE_BY,
    ARTISTS_APPROVAL,
    /** How the signature came onto the print. */
    SIGNATURE_SOURCE,
    COLOUR_SEPARATOR,
    /** Earlier states and editions of the same image that are not in this log. */
    EARLIER_EDITIONS,
    POSTHUMOUS,
    /** Whether the image was reworked after an earlier edition. */
    REWORKED,
    PRINTED_UNSIGNED
}
