package slabside.views;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import java.util.function.Supplier;
import slabside.event.EventId;
import slabside.log.Decision;
import slabside.log.EventLog;
import slabside.log.ForeignLine;
import slabside.log.Head;
import slabside.log.LogAway;
import slabside.log.Receipt;
import slabside.log.Stored;

/** A log for whoever has time: where the database does not answer, it is asked until it does. */
final class PatientLog implements EventLog {
    private static final long BETWEEN_TRIES_S = 1;

    private final EventLog log;
    private final BooleanSupplier givesUp;

    PatientLog(EventLog log, BooleanSupplier givesUp) {
        this.log = log;
        this.givesUp = givesUp;
    }

    private <R> R asked(Supplier<R> question) {
        while (true) {
            try {
                return question.get();
            } catch (LogAway away) {
                if (givesUp.getAsBoolean()) {
                    throw away;
                }
                LockSupport.parkNanos(TimeUnit.SECONDS.toNanos(BETWEEN_TRIES_S));
            }
        }
    }

    @Override
    public Receipt append(Decision decision) {
        return asked(() -> log.append(decision));
    }

    @Override
    public int adopt(List<ForeignLine> lines) {
        return asked(() -> log.adopt(lines));
    }

    @Override
    public List<Stored> read(long pos, int limit) {
        return asked(() -> log.read(pos, limit));
    }

    @Override
    public Optional<Stored> at(long pos) {
        return asked(() -> log.at(pos));
    }

    @Override
    public List<Stored> lines(EventId id) {
        return asked(() -> log.lines(id));
    }

    @Override
    public Set<EventId> twice() {
        return asked(log::twice);
    }

    @Override
    public List<Stored> chain(String origin, long from, long to) {
        return asked(() -> log.chain(origin, from, to));
    }

    @Override
    public boolean holds(Head head) {
        return asked(() -> log.holds(head));
    }

    @Override
    public List<Head> heads() {
        return asked(log::heads);
    }

    @Override
    public List<Head> forks() {
        return asked(log::forks);
    }

    @Override
    public long last() {
        return asked(log::last);
    }

    @Override
    public void follow(Runnable wakeUp) {
        log.follow(wakeUp);
    }

    @Override
    public void close() {
        log.close();
    }
}
