package slabside.host;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.LogEvent;
import slabside.event.PluginEvent;
import slabside.event.RawBody;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.UnknownEvent;
import slabside.helper.JsonTree;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Json;
import slabside.views.Role;

/** The entries that an answer proposes, looked through before anybody is asked whether to write them down. */
public final class Proposals {
    private static final int LONGEST_WORDS = 500;
    private static final int LONGEST_FIELDS = 40_000;
    private static final int DEEPEST_FIELDS = 20;
    /** 1900. */
    private static final long EARLIEST_MS = -2_208_988_800_000L;

    /** What the guards of the pages look at once more before it is done. */
    private static final Set<Class<? extends StudioEvent>> LEFT_TO_PEOPLE = Set.of(
            EditionEvent.OkSigned.class,
            EditionEvent.Numbered.class,
            EditionEvent.Signed.class,
            EditionEvent.Released.class,
            EditionEvent.Returned.class,
            EditionEvent.Destroyed.class,
            EditionEvent.Closed.class,
            StoneEvent.Treated.class,
            StoneEvent.Disposed.class);

    private Proposals() {}

    /** All that an answer proposes, also one step deeper. */
    public static List<Answer.Proposal> of(List<Answer.Block> blocks) {
        return blocks.stream()
                .flatMap(block -> block instanceof Answer.Proposed proposed
                        ? proposed.entries().stream()
                        : block instanceof Answer.Deeper deeper ? of(deeper.blocks()).stream() : Stream.of())
                .toList();
    }

    /**
     * As events that can be written.
     *
     * @param calculator id of the one that proposed them
     * @throws BadInput naming the entry that cannot be written, and why
     */
    public static List<StudioEvent> events(Host host, String calculator, List<Answer.Proposal> proposals) {
        List<StudioEvent> events = new ArrayList<>();
        Set<ThingId> defined = new HashSet<>();
        for (Answer.Proposal proposal : proposals) {
            StudioEvent event =
                    proposal.type().startsWith(PluginEvent.PREFIX) ? own(host, calculator, proposal) : known(proposal);
            if (proposal.millis().orElse(0) < EARLIEST_MS) {
                throw refused(proposal, "it happened before 1900; give its moment in ms since 1970");
            }
            Role.parts(event).stream()
                    .filter(part -> part.role() == Role.DEFINES)
                    .forEach(part -> defined.add(part.thing()));
            events.add(event);
        }
        for (int i = 0; i < events.size(); i++) {
            for (ThingId thing : EventCodec.about(events.get(i))) {
                if (!defined.contains(thing) && !host.knows(thing)) {
                    throw refused(proposals.get(i), "nothing in the log has the id " + thing);
                }
            }
        }
        return events;
    }

    private static StudioEvent own(Host host, String calculator, Answer.Proposal proposal) {
        int version = host.ownVersion(proposal.type(), calculator)
                .orElseThrow(() -> refused(proposal, "the plugin of " + calculator + " offers no event of this type"));
        if (version != proposal.version()) {
            throw refused(proposal, "its plugin offers version " + version + ", not " + proposal.version());
        }
        if (depth(proposal.fields()) > DEEPEST_FIELDS) {
            throw refused(proposal, "its fields lie one in the other more than " + DEEPEST_FIELDS + " deep");
        }
        String fields = JsonTree.write(proposal.fields()).toString();
        if (proposal.words().isBlank() || proposal.words().length() > LONGEST_WORDS) {
            throw refused(proposal, "tell it in a sentence of at most " + LONGEST_WORDS + " characters");
        }
        if (fields.length() > LONGEST_FIELDS) {
            throw refused(proposal, "its fields are longer than " + LONGEST_FIELDS + " characters");
        }
        return new PluginEvent(
                proposal.type(),
                version,
                proposal.words(),
                proposal.about().stream().map(ThingId::new).toList(),
                new RawBody(fields));
    }

    private static int depth(Json json) {
        int deepest = 0;
        for (Json inner : json instanceof Json.Fields fields ? fields.values().values() : json.items()) {
            deepest = Math.max(deepest, depth(inner));
        }
        return deepest + 1;
    }

    private static StudioEvent known(Answer.Proposal proposal) {
        Catalogue.Entry entry =
                Catalogue.of(proposal.type()).orElseThrow(() -> refused(proposal, "there is no such type of event"));
        if (LogEvent.class.isAssignableFrom(entry.event()) && entry.event() != LogEvent.Annotated.class) {
            throw refused(proposal, "corrections are made by people, not by plugins");
        }
        if (LEFT_TO_PEOPLE.contains(entry.event())) {
            throw refused(proposal, "this is left to people: write it down on its own page");
        }
        JsonNode body = JsonTree.write(proposal.fields());
        StudioEvent event = EventCodec.read(proposal.type(), proposal.version(), body);
        if (event instanceof UnknownEvent) {
            throw refused(
                    proposal,
                    "its fields are not those of version " + entry.version() + " of " + entry.type() + ": "
                            + Stream.of(entry.event().getRecordComponents())
                                    .map(each -> each.getName())
                                    .toList());
        }
        lost("", body, EventCodec.body(event)).ifPresent(field -> {
            throw refused(proposal, "an entry of this type has no field " + field);
        });
        return event;
    }

    /** The first field, at any depth, that was given and is not in what was read. */
    private static Optional<String> lost(String path, JsonNode given, JsonNode read) {
        if (given.isObject()) {
            for (Map.Entry<String, JsonNode> field : given.properties()) {
                String name = path + (path.isEmpty() ? "" : ".") + field.getKey();
                if (!read.has(field.getKey()) && !field.getValue().isNull()) {
                    return Optional.of(name);
                }
                Optional<String> deeper = lost(name, field.getValue(), read.path(field.getKey()));
                if (deeper.isPresent()) {
                    return deeper;
                }
            }
        }
        for (int i = 0; given.isArray() && i < given.size(); i++) {
            Optional<String> deeper = lost(path + "[" + i + "]", given.get(i), read.path(i));
            if (deeper.isPresent()) {
                return deeper;
            }
        }
        return Optional.empty();
    }

    private static BadInput refused(Answer.Proposal proposal, String why) {
        return new BadInput("proposed entry", proposal.type(), why);
    }
}
