package slabside.log;

import java.util.List;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import slabside.event.EventId;

/** Looks at the log as it stands and says what to append, or refuses with a {@link slabside.measure.BadInput}. */
@FunctionalInterface
public interface Decision {
    /**
     * Must be quick, and may look things up but not append. Where somebody else writes meanwhile it is run again, so it must do
     * nothing else.
     */
    List<Draft> decide(LogState log);

    /** Ids that it will look up or use, as far as that is known before; a log may look them up all at once. */
    default Set<EventId> ids() {
        return Set.of();
    }

    /** Appends these, whatever the log holds. */
    static Decision of(List<Draft> drafts) {
        return of(drafts, log -> true);
    }

    /** Appends these if the log is as it should be, else nothing. */
    static Decision of(List<Draft> drafts, Predicate<LogState> condition) {
        List<Draft> all = List.copyOf(drafts);
        Set<EventId> ids = all.stream().map(Draft::id).collect(Collectors.toUnmodifiableSet());
        return new Decision() {
            @Override
            public List<Draft> decide(LogState log) {
                return condition.test(log) ? all : List.of();
            }

            @Override
            public Set<EventId> ids() {
                return ids;
            }
        };
    }

    static Decision of(Draft draft) {
        return of(List.of(draft));
    }
}
