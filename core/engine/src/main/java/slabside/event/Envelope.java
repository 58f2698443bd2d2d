package slabside.event;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * An event with everything the log knows about its recording; the content of one stored line.
 *
 * @param origin random id of the chain that it was written to
 * @param oseq place in that chain, from 1 without gaps
 * @param after an event that this one directly follows, whatever the clocks said
 * @param recorded wall clock at recording, in ms
 * @param about ids of the things concerned
 * @param body as JSON
 */
public record Envelope(
        String origin,
        long oseq,
        EventId id,
        Happened happened,
        @Nullable EventId after,
        long recorded,
        Hlc hlc,
        Actor actor,
        String type,
        int version,
        List<ThingId> about,
        JsonNode body) {
    public Envelope {
        about = List.copyOf(about);
    }

    /** The body as an event of the catalogue, a {@link PluginEvent}, or an {@link UnknownEvent}. */
    public StudioEvent event() {
        return EventCodec.read(type, version, body);
    }

    /** Whether two lines say the same, whoever recorded them. */
    public boolean sameContent(Envelope other) {
        return type.equals(other.type)
                && version == other.version
                && happened.equals(other.happened)
                && java.util.Objects.equals(after, other.after)
                && actor.equals(other.actor)
                // As text: a number read back is another kind of node than the same number written.
                && body.toString().equals(other.body.toString());
    }
}
