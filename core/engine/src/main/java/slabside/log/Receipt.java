package slabside.log;

import java.util.List;

/** Where the events of a decision stand in the log, in the order of its drafts. */
public record Receipt(List<Stored> stored) {
    public Receipt {
        stored = List.copyOf(stored);
    }

    /** Highest position named here; 0 when the decision appended nothing. */
    public long pos() {
        return stored.stream().mapToLong(Stored::pos).max().orElse(0);
    }
}
