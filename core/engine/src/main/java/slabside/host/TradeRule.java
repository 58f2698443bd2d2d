package slabside.host;

import slabside.event.EventCodec;

/**
 * Every rule of the trade that a printed run is held against from the log alone, in one place. Common practice, no source;
 * thresholds are assumptions and stand beside the checks. A rule hints where to look; it does not say that it went wrong there.
 */
public enum TradeRule {
    /** A share on the load is three times, or a third of, what the recipe plans. */
    NOT_AS_PLANNED,
    /** A material stands in a mix at about ten times, or a tenth of, what the recipe asks. */
    FACTOR_OF_TEN,
    /** Two mixes of one recipe hold a material in different shares. */
    SHARES_CHANGED_BETWEEN_BATCHES,
    /** The load after a charge keeps growing. */
    CHARGED_MORE_THAN_GOES_OUT,
    /** Tack reducer went in hours before printing; it belongs in just before. */
    TACK_REDUCER_LONG_BEFORE,
    /** The ink had held drier for hours when the last pull was made. */
    HOURS_SINCE_THE_DRIER,
    /** More than a hundredth of the mix went in as powder at once. */
    POWDER_AT_ONCE,
    /** Strong ink lay there before the base, in a mix that is mostly base. */
    BASE_INTO_STRONG_INK,
    /** The two inks of a blend were found of different body. */
    BLEND_OF_DIFFERENT_BODY,
    /** Ink of another can of the same material came in while the run was printed. */
    LOT_CHANGED,
    /** A can had a skin when it was looked into before it was used. */
    SKINNED_CAN,
    /** The layer below was not judged rub-dry before this run began. */
    LAYER_BELOW_NOT_KNOWN_DRY,
    /** The layer below had lain so long that it may refuse ink. */
    LAYER_BELOW_TOO_LATE,
    /** Sheets of more than one paper went through. */
    PAPER_CHANGED,
    /** The roller was last used for another run, and nobody wrote down that it was cleaned. */
    ROLLER_HAD_ANOTHER_COLOUR,
    /** The roller turns more than once over the image. */
    CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE,
    /** Many pulls were made with the same water. */
    WATER_NOT_CHANGED,
    /** The room was warm, or its warmth moved far. */
    TEMPERATURE,
    /** The stone or plate rested under gum in the middle of the run. */
    GUMMED_UP,
    /** The stone or plate was closed or opened in the middle of the run. */
    REOPENED,
    /** The stone or plate was etched in the middle of the run. */
    ETCHED_AGAIN,
    /** Other hands took over; never whose. */
    HANDS_CHANGED,
    /** Packing, bar or pressure was changed in the middle of the run. */
    PACKING_OR_BAR_CHANGED,
    /** The image was reworked while sheets of this run were still to be printed. */
    REWORKED_WHILE_PENDING,
    /** A rule spoke up while mixing or setting up. */
    WARNED,
    /** Something is not written down that an audit needs. */
    NOT_WRITTEN_DOWN;

    /** As it is read. */
    public String words() {
        return EventCodec.word(this).replace('-', ' ');
    }
}
