package slabside.share;

import com.fasterxml.jackson.annotation.JsonIgnoreProperties;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import slabside.event.ThingId;
import slabside.log.Head;
import slabside.measure.BadInput;
import slabside.studio.People;

/**
 * What a machine says of itself in the shared folder: the only file there that changes, and only that machine writes it.
 *
 * @param device id
 * @param name what to call it
 * @param at when it wrote this, by its own clock, in ms
 * @param chains that it wrote
 * @param heads ends of every chain that it holds
 * @param people names that it knows
 * @param left whether it takes part no more
 */
@JsonIgnoreProperties(ignoreUnknown = true)
record DeviceNote(
        String device,
        String name,
        long at,
        List<String> chains,
        List<Head> heads,
        Map<String, People.Named> people,
        boolean left) {
    private static final int LONGEST_NAME = 200;

    DeviceNote {
        chains = List.copyOf(chains);
        heads = List.copyOf(heads);
        people = Map.copyOf(people);
        boolean whole = device.matches("[0-9a-f]{16}")
                && name.length() <= LONGEST_NAME
                && chains.stream().allMatch(DeviceNote::isOrigin)
                && heads.stream()
                        .allMatch(head -> isOrigin(head.origin()) && head.hash().matches("[0-9a-f]{64}"))
                && people.values().stream().allMatch(named -> named.name().length() <= LONGEST_NAME);
        if (!whole) {
            throw new BadInput("note of a machine", name, "it does not say what such a note says");
        }
        people.keySet().forEach(ThingId::new);
    }

    private static boolean isOrigin(String text) {
        return text.matches("[0-9a-f]{16}");
    }

    /** One note a machine; where a synchroniser kept two, the newer. */
    static List<DeviceNote> newest(List<DeviceNote> notes) {
        Map<String, DeviceNote> newest = new TreeMap<>();
        notes.forEach(note -> newest.merge(note.device, note, (a, b) -> a.at >= b.at ? a : b));
        return List.copyOf(newest.values());
    }

    /** Whether it says something else, whenever. */
    boolean saysOther(DeviceNote before) {
        return !new DeviceNote(device, name, before.at, chains, heads, people, left).equals(before);
    }
}
