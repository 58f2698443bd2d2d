package slabside.bench;

import java.sql.SQLException;
import java.util.Arrays;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.EventLog;
import slabside.log.Stored;

/** One event after the other, each acknowledged before the next, and the same row beside it in a bare table. */
final class SinglesTimed {
    private final long[] ours;
    private final long[] floor;

    /** A bare table of the same database. */
    interface Bare {
        void insert(Stored row) throws SQLException;
    }

    private SinglesTimed(int count) {
        ours = new long[count];
        floor = new long[count];
    }

    /** @param warming how many come before, and are not counted */
    static SinglesTimed measure(EventLog log, BusyStudio studio, int warming, int count, Bare bare)
            throws SQLException {
        SinglesTimed times = new SinglesTimed(count);
        for (int i = -warming; i < count; i++) {
            Draft draft = studio.next(1).get(0);
            long start = System.nanoTime();
            Stored stored = log.append(Decision.of(draft)).stored().get(0);
            long middle = System.nanoTime();
            bare.insert(stored);
            long end = System.nanoTime();
            if (i >= 0) {
                times.ours[i] = middle - start;
                times.floor[i] = end - middle;
            }
        }
        Arrays.sort(times.ours);
        Arrays.sort(times.floor);
        return times;
    }

    double millis(int percent) {
        return ours[ours.length * percent / 100] / 1e6;
    }

    double floorMillis(int percent) {
        return floor[floor.length * percent / 100] / 1e6;
    }

    double ratio(int percent) {
        return millis(percent) / floorMillis(percent);
    }
}
