package slabside.statistics;

import java.util.ArrayList;
import java.util.List;

/**
 * Patterns in standardised values that are rare in a steady process: Nelson 1984, J. Qual. Technol. 16, 237–239, and the
 * Western Electric handbook of 1956 (rules from memory, examples checked). Inequalities are strict; the last value of a
 * pattern is flagged.
 *
 * <p>They cry wolf: in 60 values of a steady process rules 1, 5, 6 and eight on one side speak up nearly every second time.
 * They are hints, never a verdict.
 */
public enum RunRule {
    /** One value beyond 3. */
    BEYOND_THREE(1) {
        @Override
        boolean at(double[] z, int i) {
            return Math.abs(z[i]) > 3;
        }
    },
    /** Nine in a row on one side. */
    NINE_ON_ONE_SIDE(9) {
        @Override
        boolean at(double[] z, int i) {
            return oneSide(z, i, 9);
        }
    },
    /** Eight in a row on one side, as Western Electric has it. */
    EIGHT_ON_ONE_SIDE(8) {
        @Override
        boolean at(double[] z, int i) {
            return oneSide(z, i, 8);
        }
    },
    /** Six in a row, each above the last or each below it. */
    SIX_IN_ONE_DIRECTION(6) {
        @Override
        boolean at(double[] z, int i) {
            boolean up = true;
            boolean down = true;
            for (int j = i - 4; j <= i; j++) {
                up &= z[j] > z[j - 1];
                down &= z[j] < z[j - 1];
            }
            return up || down;
        }
    },
    /** Fourteen in a row going up and down in turn. */
    FOURTEEN_IN_TURN(14) {
        @Override
        boolean at(double[] z, int i) {
            for (int j = i - 11; j <= i; j++) {
                if (!((z[j] - z[j - 1]) * (z[j - 1] - z[j - 2]) < 0)) {
                    return false;
                }
            }
            return true;
        }
    },
    /** Two of three beyond 2 on one side, the last among them. */
    TWO_OF_THREE_BEYOND_TWO(3) {
        @Override
        boolean at(double[] z, int i) {
            return beyond(z, i, 3, 2, 2);
        }
    },
    /** Four of five beyond 1 on one side, the last among them. */
    FOUR_OF_FIVE_BEYOND_ONE(5) {
        @Override
        boolean at(double[] z, int i) {
            return beyond(z, i, 5, 4, 1);
        }
    },
    /** Fifteen in a row within 1. */
    FIFTEEN_WITHIN_ONE(15) {
        @Override
        boolean at(double[] z, int i) {
            for (int j = i - 14; j <= i; j++) {
                if (!(Math.abs(z[j]) < 1)) {
                    return false;
                }
            }
            return true;
        }
    },
    /** Eight in a row beyond 1 on either side. */
    EIGHT_BEYOND_ONE(8) {
        @Override
        boolean at(double[] z, int i) {
            for (int j = i - 7; j <= i; j++) {
                if (!(Math.abs(z[j]) > 1)) {
                    return false;
                }
            }
            return true;
        }
    };

    private final int window;

    RunRule(int window) {
        this.window = window;
    }

    /** Whether the pattern ends at a place that has enough values before it. */
    abstract boolean at(double[] z, int i);

    /** Places, from 0, at which the pattern ends. */
    public List<Integer> flagged(double... z) {
        List<Integer> places = new ArrayList<>();
        for (int i = window - 1; i < z.length; i++) {
            if (at(z, i)) {
                places.add(i);
            }
        }
        return places;
    }

    private static boolean oneSide(double[] z, int i, int count) {
        boolean above = true;
        boolean below = true;
        for (int j = i - count + 1; j <= i; j++) {
            above &= z[j] > 0;
            below &= z[j] < 0;
        }
        return above || below;
    }

    private static boolean beyond(double[] z, int i, int window, int enough, double limit) {
        int above = 0;
        int below = 0;
        for (int j = i - window + 1; j <= i; j++) {
            above += z[j] > limit ? 1 : 0;
            below += z[j] < -limit ? 1 : 0;
        }
        return above >= enough && z[i] > limit || below >= enough && z[i] < -limit;
    }
}
