package slabside.views;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import slabside.event.ThingId;

/** Answers about single things, each kept until something is written that concerns its thing. Safe for many threads. */
public final class PerThing<V> {
    private record Kept<V>(V answer, long version) {}

    private static final int MOST = 20_000;

    private final Stories stories;
    private final Function<ThingId, V> making;
    private final Map<ThingId, Kept<V>> kept = new ConcurrentHashMap<>();

    /**
     * @param making answers from the story and the name of its thing alone
     */
    public PerThing(Stories stories, Function<ThingId, V> making) {
        this.stories = stories;
        this.making = making;
    }

    public V of(ThingId thing) {
        // Taken before the answer is made: what is written meanwhile makes it anew.
        long version = stories.version(thing);
        Kept<V> known = kept.get(thing);
        if (known == null || known.version != version) {
            known = new Kept<>(making.apply(thing), version);
            if (kept.size() >= MOST) {
                kept.clear();
            }
            kept.put(thing, known);
        }
        return known.answer;
    }
}
