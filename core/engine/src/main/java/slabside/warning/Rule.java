package slabside.warning;

/**
 * Every rule that may speak up, all in one place. Its stored name is the constant in small letters with hyphens. Thresholds
 * are common practice, no source, unless {@link Warnings} says that this studio's past moved them.
 */
public enum Rule {
    /** An amount is about ten times, or a tenth of, what the recipe asks for. */
    TEN_TIMES_THE_RECIPE(Grade.STOP),
    /** A modifier would stand above its usual limit. */
    ABOVE_THE_LIMIT(Grade.STOP),
    /** A mix or packet was made for another job. */
    OF_ANOTHER_JOB(Grade.STOP),
    /** An image would end while sheets have not been through it. */
    STONE_IS_NEEDED(Grade.STOP),
    /** An image would end while its edition is not closed. */
    EDITION_IS_OPEN(Grade.STOP),
    /** An image would end, and no cancellation impression is written down. */
    NO_CANCELLATION(Grade.STOP),
    /** A stone would be reworked in the middle of a run. */
    REWORKED_IN_A_RUN(Grade.STOP),
    /** A sheet would be numbered that has not been through every run. */
    NOT_THROUGH_EVERY_RUN(Grade.STOP),
    /** A print would leave unsigned. */
    RELEASED_UNSIGNED(Grade.STOP),
    /** An edition would be closed while good sheets have no number, or printed ones were not looked at. */
    SHEETS_ARE_LEFT(Grade.STOP),
    /** A sheet went through a run although an earlier one has not had it. */
    NOT_THROUGH_BEFORE(Grade.STRIP),
    /** A sheet went through a run although it was spoiled or destroyed before. */
    SHEET_WAS_LOST(Grade.STRIP),
    /** Another lot of the same material is in this mix, or in an earlier batch of this run. */
    LOT_DIFFERS(Grade.STRIP),
    CAN_SKINNED(Grade.STRIP),
    /** The same can and the same grams came within a few seconds. */
    SAME_AGAIN(Grade.STRIP),
    POWDER_AT_ONCE(Grade.STRIP),
    /** Strong ink came before the base, where the recipe is more than half base. */
    STRONG_INK_FIRST(Grade.STRIP),
    ROLLER_HAD_ANOTHER_COLOUR(Grade.STRIP),
    /** A packet would hold tack reducer or drier. */
    HOLDS_REDUCER_OR_DRIER(Grade.AT_WRAPPING);

    /** How loudly a rule speaks. */
    public enum Grade {
        /** Nothing is written until one more tap confirms it. */
        STOP,
        /** A line for some seconds; it is written all the same, and so is the warning. */
        STRIP,
        /** A line when the ink is wrapped. */
        AT_WRAPPING
    }

    private final Grade grade;

    Rule(Grade grade) {
        this.grade = grade;
    }

    public Grade grade() {
        return grade;
    }
}
