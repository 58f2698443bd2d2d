package slabside.log;

import java.io.IOException;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Compares the log with how far this machine remembers each chain, and says on which chain to go on. A log that is not what
 * this machine left, being cut, put back from a copy or brought from elsewhere, gets a new chain with its next event.
 */
final class ChainWatch implements AutoCloseable {
    private final HeadFiles files;
    private final List<String> notices = new CopyOnWriteArrayList<>();
    private final List<String> cut = new CopyOnWriteArrayList<>();
    private final List<Head> cutHeads = new ArrayList<>();
    private final List<String> gone = new CopyOnWriteArrayList<>();
    /** How far each chain was remembered to have come since this was opened. */
    private final Map<String, Long> reached = new HashMap<>();

    /** Chains that this installation wrote, as far as it may write on. */
    private final Set<String> owned = new HashSet<>();

    private String ownOrigin = "";
    private String whyBegin = "the first of this installation";

    ChainWatch(HeadFiles files) {
        this.files = files;
    }

    void notice(String text) {
        notices.add(text);
    }

    List<String> notices() {
        List<String> all = new ArrayList<>(notices);
        cut.forEach(text -> all.add("Careful: " + text + " What is here stays; new events go to a new chain."));
        return List.copyOf(all);
    }

    /** Chains that had come further on this machine than they go here. */
    List<String> cut() {
        return List.copyOf(cut);
    }

    /** Ends that were lost and left behind: this log went on without them, and they did not come back yet. */
    List<String> gone() {
        return List.copyOf(gone);
    }

    private void lookForLost(Prepared log) throws SQLException, IOException {
        gone.clear();
        for (Head head : files.lost()) {
            if (EventTable.one(log, head).isPresent()) {
                files.find(head);
                continue;
            }
            long here = EventTable.tips(log, head.origin()).stream()
                    .mapToLong(Head::oseq)
                    .max()
                    .orElse(0);
            gone.add(
                    here < head.oseq()
                            ? "Events " + (here + 1) + " to " + head.oseq() + " of the chain " + head.origin()
                                    + " were once here and are not any more"
                            : "Events up to " + head.oseq() + " of one branch of the chain " + head.origin()
                                    + " were once here and are not any more");
        }
    }

    /** What the first event of a new chain says of its reason. */
    String whyBegin() {
        return whyBegin;
    }

    /** Looks for every remembered head; returns the own chain where it still ends as remembered, or goes on from there. */
    Optional<Head> compare(Prepared log) throws SQLException, IOException {
        Head carriedOn = null;
        cut.clear();
        cutHeads.clear();
        lookForLost(log);
        for (HeadFiles.Remembered each : files.read()) {
            Head head = each.head();
            reached.merge(head.origin(), head.oseq(), Math::max);
            if (each.own()) {
                owned.add(head.origin());
            }
            List<Head> here = EventTable.tips(log, head.origin());
            if (!EventTable.hashesAt(log, head.origin(), head.oseq()).contains(head.hash())) {
                cutHeads.add(head);
                cut.add("The chain " + head.origin() + " had come to event " + head.oseq()
                        + " on this machine, but this log does not hold that event ("
                        + (here.isEmpty()
                                ? "nothing is left of it"
                                : "it ends at " + here.get(0).oseq())
                        + "). Its end was cut off, or an old copy was put back.");
            } else if (each.own() && !EventTable.isParted(log, head.origin())) {
                carriedOn = here.get(0);
            }
        }
        return Optional.ofNullable(carriedOn);
    }

    /**
     * The chain to go on with; empty when the next event must begin a new one. Writes nothing to the log. Asked again when
     * lines that had been cut off came back from elsewhere.
     */
    Optional<Head> choose(Prepared log) throws SQLException, IOException {
        Optional<Head> carriedOn = compare(log);
        if (!cut.isEmpty()) {
            whyBegin = "the log was cut or put back from a copy";
            return Optional.empty();
        }
        ownOrigin = carriedOn.map(Head::origin).orElse("");
        if (carriedOn.isEmpty() && EventTable.last(log) > 0) {
            boolean unknown = files.read().isEmpty();
            whyBegin = unknown ? "the log was not known on this machine" : "the chain written before was left";
            if (unknown) {
                notice("This log was not known on this machine; from now on its end is watched.");
                remember(log);
            }
        }
        return carriedOn;
    }

    /** As {@link #choose}, but a folder that cannot be read is said and nothing more. */
    @Nullable
    Head chosen(Prepared log) {
        try {
            return choose(log).orElse(null);
        } catch (IOException | SQLException failed) {
            notice("How far the log had come cannot be read in the configuration folder: " + failed.getMessage()
                    + ". A cut end would not be noticed.");
            return null;
        }
    }

    /**
     * Remembers how far the chains have come. The events are on the disk by now, so a head that cannot be remembered is said
     * and nothing more. Once a new chain has begun after a cut, what is here counts as known.
     */
    void written(Prepared log, List<Head> heads, @Nullable Head own) {
        try {
            if (own != null && !own.origin().equals(ownOrigin)) {
                for (Head head : cutHeads) {
                    files.lose(head);
                }
                remember(log);
                cut.clear();
                cutHeads.clear();
                ownOrigin = own.origin();
                lookForLost(log);
            } else if (!gone.isEmpty()) {
                lookForLost(log);
            }
            Map<String, Head> newest = new HashMap<>();
            heads.forEach(head -> newest.merge(head.origin(), head, (a, b) -> a.oseq() > b.oseq() ? a : b));
            Set<String> watched = cutHeads.stream().map(Head::origin).collect(Collectors.toSet());
            for (Head head : newest.values()) {
                // Another branch that comes in is not what was lost.
                if (!watched.contains(head.origin())
                        && reached.merge(head.origin(), head.oseq(), Math::max) == head.oseq()) {
                    files.write(
                            head,
                            own == null
                                    ? owned.contains(head.origin())
                                    : own.origin().equals(head.origin()));
                }
            }
        } catch (IOException | SQLException failed) {
            notice("How far the log has come could not be remembered in the configuration folder: "
                    + failed.getMessage() + ". A cut end would not be noticed.");
        }
    }

    /** The chain written so far is not written on, after a restart neither. */
    void left(Prepared log) {
        try {
            ownOrigin = "";
            remember(log);
        } catch (IOException | SQLException failed) {
            notice("That a new chain begins could not be remembered in the configuration folder: " + failed.getMessage()
                    + ". Make room there.");
        }
    }

    private void remember(Prepared log) throws SQLException, IOException {
        owned.clear();
        for (Head head : EventTable.heads(log)) {
            reached.merge(head.origin(), head.oseq(), Math::max);
            files.write(head, false);
        }
    }

    @Override
    public void close() throws IOException {
        files.close();
    }
}
