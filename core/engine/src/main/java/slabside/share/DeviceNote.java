package slabside.share;

import com.fasterxml.jackson.annotation.JsonIgnoreProperties;
import java.util.List;
import java.util.Map;
import slabside.log.Head;
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
    DeviceNote {
        chains = List.copyOf(chains);
        heads = List.copyOf(heads);
        people = Map.copyOf(people);
    }

    /** Whether it says something else, whenever. */
    boolean saysOther(DeviceNote before) {
        return !new DeviceNote(device, name, before.at, chains, heads, people, left).equals(before);
    }
}
