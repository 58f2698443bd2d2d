package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.views.Thing;

/**
 * Which thing is meant by what somebody typed: one of those offered, or any by its name, short id or id. A person who is
 * not known yet is given an id; every other thing must be in the log.
 */
final class ThingChoice {
    static final String PERSON = "person";
    /** Accounts outside the studio, which ink goes to and comes from. */
    static final String OUTSIDE = "outside";

    private static final int OFFERED = 200;
    private static final List<ThingId> ACCOUNTS =
            List.of(ThingId.TEST, ThingId.WASH_UP, ThingId.WASTE, ThingId.ELSEWHERE, ThingId.SUPPLY);

    private final Studio studio;

    ThingChoice(Studio studio) {
        this.studio = studio;
    }

    /**
     * How a thing is written in a form: its name and, where it has one, the short id written on it; the end of its id where
     * another thing of its kind has the same name.
     */
    String shown(ThingId id) {
        String name = studio.name(id);
        return studio.views().thing(id).map(thing -> shown(thing, name)).orElse(name);
    }

    private String shown(Thing thing, String name) {
        if (!thing.label().isEmpty()) {
            return name.endsWith(thing.label()) ? name : name + " · " + thing.label();
        }
        boolean shared = name.equals(thing.name())
                && studio.views().exactly(thing.kind(), name).size() > 1;
        String id = thing.id().text();
        return shared ? name + " · " + id.substring(Math.max(0, id.length() - 4)) : name;
    }

    /** What a form offers: the newest things of some kinds, as they are written there. */
    List<String> offered(List<String> kinds) {
        return List.copyOf(known(kinds).keySet());
    }

    private Map<String, List<ThingId>> known(List<String> kinds) {
        Map<String, List<ThingId>> known = new LinkedHashMap<>();
        for (String kind : kinds) {
            Stream<ThingId> ids = switch (kind) {
                case PERSON -> studio.people().all().keySet().stream().map(ThingId::new);
                case OUTSIDE -> ACCOUNTS.stream();
                default -> studio.views().things(kind, "", OFFERED).stream().map(Thing::id);
            };
            ids.forEach(id ->
                    known.computeIfAbsent(shown(id), each -> new ArrayList<>()).add(id));
        }
        return known;
    }

    /**
     * The thing of some kinds that was typed.
     *
     * @param within an edition whose sheets are meant when several have this code
     * @param fresh id for a person who is not known yet
     */
    ThingId meant(String field, String typed, List<String> kinds, Optional<ThingId> within, ThingId fresh) {
        List<ThingId> offered = known(kinds).getOrDefault(typed, List.of());
        if (offered.size() == 1) {
            return offered.get(0);
        }
        List<Thing> exact = kinds.stream()
                .filter(kind -> !kind.equals(PERSON) && !kind.equals(OUTSIDE))
                .flatMap(kind -> studio.views().exactly(kind, typed).stream())
                .toList();
        List<Thing> here = exact.stream()
                .filter(thing ->
                        within.isPresent() && thing.of().equals(within.get().text()))
                .toList();
        List<Thing> found = here.isEmpty() ? exact : here;
        if (found.size() == 1) {
            return found.get(0).id();
        }
        if (found.isEmpty() && offered.isEmpty() && kinds.contains(PERSON)) {
            return person(typed, fresh);
        }
        String what = String.join(" or ", kinds);
        throw new BadInput(
                field,
                typed,
                found.size() + offered.size() > 1
                        ? "there are several of that name; write the short id or the id of the one you mean"
                        : "there is no " + what + " of that name, short id or id; choose one of those offered");
    }

    private ThingId person(String typed, ThingId fresh) {
        if (studio.people().all().containsKey(typed)) {
            return new ThingId(typed);
        }
        studio.people().name(fresh, typed);
        return fresh;
    }
}
