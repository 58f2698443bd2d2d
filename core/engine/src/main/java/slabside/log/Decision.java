package slabside.log;

import java.util.List;

/** Looks at the log as it stands and says what to append, or refuses with a {@link slabside.measure.BadInput}. */
@FunctionalInterface
public interface Decision {
    /** Runs while no other writer can; must be quick, and may look things up but not append. */
    List<Draft> decide(LogState log);

    /** Appends these, whatever the log holds. */
    static Decision of(List<Draft> drafts) {
        List<Draft> all = List.copyOf(drafts);
        return log -> all;
    }

    static Decision of(Draft draft) {
        return of(List.of(draft));
    }
}
