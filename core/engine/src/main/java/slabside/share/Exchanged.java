package slabside.share;

import java.util.List;

/**
 * What an exchange did and what it found, for somebody to read.
 *
 * @param at when, in ms
 * @param taken events that came
 * @param given events that went
 * @param files photos and memos that came or went
 * @param machines all that share the studio, this one first
 * @param waiting what is in the folder and cannot be taken yet, in sentences
 * @param missing what is known to have been written and is not here, in sentences
 * @param parted chains that were written on in two places, in sentences
 * @param differing events that say different things under one id, in sentences
 * @param trouble what kept the exchange from being done; empty when nothing did
 */
public record Exchanged(
        long at,
        int taken,
        int given,
        int files,
        List<Machine> machines,
        List<String> waiting,
        List<String> missing,
        List<Parted> parted,
        List<Differing> differing,
        String trouble) {
    public Exchanged {
        machines = List.copyOf(machines);
        waiting = List.copyOf(waiting);
        missing = List.copyOf(missing);
        parted = List.copyOf(parted);
        differing = List.copyOf(differing);
    }

    /**
     * A machine that shares the studio.
     *
     * @param here whether it is this one
     * @param at when it last said something, by its own clock, in ms; 0 when never
     * @param events of its chains that are in this log
     * @param newest when the newest of them was written, by its own clock, in ms; 0 when there is none
     * @param behind events that it wrote and that are not in this log
     * @param clock what is the matter with its clock; empty when nothing is
     */
    public record Machine(String name, boolean here, long at, long events, long newest, long behind, String clock) {}

    /**
     * A chain that was written on in two places at once.
     *
     * @param machine that it was of
     * @param place the first of each branch has in it
     * @param firsts positions of the first event of each branch
     */
    public record Parted(String machine, long place, List<Long> firsts) {
        public Parted {
            firsts = List.copyOf(firsts);
        }
    }

    /**
     * Several lines that claim to be one event and say different things.
     *
     * @param positions of the lines, the one that counts first
     */
    public record Differing(List<Long> positions) {
        public Differing {
            positions = List.copyOf(positions);
        }
    }

    static Exchanged failed(long at, String trouble) {
        return new Exchanged(at, 0, 0, 0, List.of(), List.of(), List.of(), List.of(), List.of(), trouble);
    }

    /** Whether there is nothing that somebody should look at. */
    public boolean isQuiet() {
        return trouble.isEmpty()
                && waiting.isEmpty()
                && missing.isEmpty()
                && parted.isEmpty()
                && differing.isEmpty()
                && machines.stream().allMatch(machine -> machine.clock.isEmpty());
    }
}
