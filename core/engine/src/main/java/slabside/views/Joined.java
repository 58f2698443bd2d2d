package slabside.views;

import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import slabside.event.LogEvent;
import slabside.event.ThingId;

/** Which records were joined by {@code same-thing}: the kept one stands for all (union-find, rebuilt when one changes). */
final class Joined {
    static final Joined NONE = new Joined(new HashMap<>());

    private final Map<ThingId, ThingId> parent;

    private Joined(Map<ThingId, ThingId> parent) {
        this.parent = parent;
    }

    /** From all events, of which only the standing joins count, in story order. */
    static Joined of(Collection<Told> inStoryOrder) {
        Joined joined = new Joined(new HashMap<>());
        for (Told told : inStoryOrder) {
            if (!told.voided() && told.event() instanceof LogEvent.SameThing same) {
                ThingId keep = joined.canonical(same.keep());
                ThingId other = joined.canonical(same.other());
                if (!keep.equals(other)) {
                    joined.parent.put(other, keep);
                }
            }
        }
        return joined;
    }

    ThingId canonical(ThingId thing) {
        ThingId at = thing;
        for (ThingId next = parent.get(at); next != null; next = parent.get(at)) {
            at = next;
        }
        return at;
    }

    /** Every record that the canonical one stands for, itself included. */
    List<ThingId> members(ThingId thing) {
        ThingId root = canonical(thing);
        TreeSet<ThingId> members = new TreeSet<>();
        members.add(root);
        parent.keySet().stream().filter(each -> canonical(each).equals(root)).forEach(members::add);
        return List.copyOf(members);
    }
}
