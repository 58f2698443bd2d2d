package slabside.share;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.log.Head;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.studio.Studio;

/**
 * What came from which machine, what is missing and where chains parted, from what lies in the folder and what is here.
 *
 * @param seen what lies in the folder
 * @param ends last place of every chain here
 * @param forks first line of every branch of a chain that parted
 */
record Telling(Studio studio, Membership membership, SharedFolder.Seen seen, Map<String, Long> ends, List<Head> forks) {
    private static final long AHEAD = TimeUnit.MINUTES.toMillis(5);

    private SqlEventLog log() {
        return studio.log();
    }

    List<Exchanged.Machine> machines() {
        List<Exchanged.Machine> machines = new ArrayList<>();
        Set<String> claimed = new HashSet<>(membership.chains());
        machines.add(machine(membership.name(), true, log().clock().millis(), membership.chains(), List.of()));
        for (DeviceNote note : DeviceNote.newest(seen.notes())) {
            if (!note.device().equals(membership.device())) {
                List<String> chains = note.chains().stream()
                        .filter(chain -> !membership.chains().contains(chain))
                        .toList();
                claimed.addAll(chains);
                machines.add(machine(
                        note.left() ? note.name() + ", which left" : note.name(),
                        false,
                        note.at(),
                        chains,
                        note.heads()));
            }
        }
        List<String> others =
                ends.keySet().stream().filter(chain -> !claimed.contains(chain)).toList();
        if (!others.isEmpty()) {
            machines.add(
                    machine("from before, or from a machine that did not say its name", false, 0, others, List.of()));
        }
        return machines;
    }

    private Exchanged.Machine machine(String name, boolean here, long at, List<String> chains, List<Head> heads) {
        long events = 0;
        long behind = 0;
        Optional<Stored> newest = Optional.empty();
        for (String chain : chains) {
            long end = ends.getOrDefault(chain, 0L);
            events += end;
            behind += heads.stream()
                    .filter(head -> head.origin().equals(chain) && !log().holds(head))
                    .mapToLong(head -> Math.max(1, head.oseq() - end))
                    .max()
                    .orElse(0);
            newest = Stream.concat(newest.stream(), log().chain(chain, end, end).stream())
                    .max(Comparator.comparing(line -> line.envelope().hlc()));
        }
        return new Exchanged.Machine(
                name,
                here,
                at,
                events,
                newest.map(line -> line.envelope().recorded()).orElse(0L),
                behind,
                newest.map(this::clock).orElse(""));
    }

    /** What the newest line of a machine tells of its clock. */
    private String clock(Stored newest) {
        long ahead = newest.envelope().recorded() - log().clock().millis();
        return ahead > AHEAD
                ? "its clock is " + about(ahead)
                        + " ahead of this machine's (its newest entry lies in the future), or this machine's is behind"
                : "";
    }

    private static String about(long millis) {
        long minutes = TimeUnit.MILLISECONDS.toMinutes(millis);
        if (minutes < 120) {
            return minutes + " minutes";
        }
        return minutes < 48 * 60 ? minutes / 60 + " hours" : minutes / 60 / 24 + " days";
    }

    List<String> missing() {
        Map<String, Head> furthest = new TreeMap<>();
        Map<String, String> knownBy = new HashMap<>();
        for (DeviceNote note : seen.notes()) {
            for (Head head : note.heads()) {
                if (!log().holds(head)) {
                    Head now = furthest.merge(head.origin(), head, (a, b) -> a.oseq() >= b.oseq() ? a : b);
                    if (now.equals(head)) {
                        knownBy.put(head.origin(), note.name());
                    }
                }
            }
        }
        List<String> missing = new ArrayList<>();
        furthest.forEach((chain, head) -> {
            long end = ends.getOrDefault(chain, 0L);
            missing.add(
                    end < head.oseq()
                            ? "events " + (end + 1) + " to " + head.oseq() + " of " + ofChain(chain) + ", which "
                                    + knownBy.get(chain) + " knows of"
                            : "another branch of " + ofChain(chain) + " up to its event " + head.oseq() + ", which "
                                    + knownBy.get(chain) + " knows of");
        });
        log().gone().forEach(missing::add);
        log().cut().forEach(missing::add);
        Set<String> forgotten = studio.forgottenFiles();
        long files = studio.attached().keySet().stream()
                .filter(sha -> !forgotten.contains(sha))
                .filter(sha -> studio.attachments().file(sha).isEmpty())
                .count();
        if (files > 0) {
            missing.add(files + (files == 1 ? " photo or memo" : " photos or memos") + " that the log names");
        }
        return missing;
    }

    List<Exchanged.Parted> parted() {
        Map<String, List<Head>> branches =
                forks.stream().collect(Collectors.groupingBy(Head::origin, TreeMap::new, Collectors.toList()));
        return branches.entrySet().stream()
                .map(each -> new Exchanged.Parted(
                        ofChain(each.getKey()),
                        each.getValue().get(0).oseq(),
                        log()
                                .chain(
                                        each.getKey(),
                                        each.getValue().get(0).oseq(),
                                        each.getValue().get(0).oseq())
                                .stream()
                                .map(Stored::pos)
                                .toList()))
                .toList();
    }

    /** Whose chain it is, in words. */
    String ofChain(String chain) {
        if (membership.chains().contains(chain)) {
            return "what this machine wrote";
        }
        return seen.notes().stream()
                .filter(note -> note.chains().contains(chain))
                .map(note -> "what " + note.name() + " wrote")
                .findFirst()
                .orElse("the chain " + chain);
    }
}
