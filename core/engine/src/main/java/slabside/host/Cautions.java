package slabside.host;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import slabside.event.EventCodec;
import slabside.event.MaterialRole;
import slabside.plugin.Reminders;

/** The usual reminders, where the hazard is; they defer to the data sheet and judge nothing. */
public final class Cautions {
    private static final String SOLVENTS = "Solvents: air, gloves, no flame, heater or spark.";
    private static final String OLD_CANS =
            "Old or unlabelled cans may hold lead, chromium or cadmium pigment or lead drier: do not sand, heat or dust; ask.";
    /** By the stored name of the event during whose work the hazard arises (common practice, no source). */
    private static final Map<String, List<String>> WORK = Map.of(
            "stone.treated",
            List.of(
                    "Etches: acid into water, never water into acid; goggles, an eyewash at hand. Nitric acid and other oxidisers never near"
                            + " solvents, oily rags or rosin, stored apart, never in one waste container.",
                    "Rosin and talc: the mask the data sheet names; rosin dust burns and may sensitise.",
                    SOLVENTS,
                    "Stones: lifting aids, two people for a large one; the floor is wet."),
            "stone.disposed",
            List.of("Stones: lifting aids, two people for a large one; the floor is wet."),
            "shelf.tool-cleaned",
            List.of(SOLVENTS, Reminders.RAGS),
            "press.cleaned-up",
            List.of(SOLVENTS, Reminders.RAGS),
            "shelf.can-received",
            List.of(OLD_CANS),
            "shelf.can-opened",
            List.of(OLD_CANS),
            "shelf.vessel-inspected",
            List.of(OLD_CANS));

    private Cautions() {}

    /** Reminders for the work that an event of this stored name tells of; none where there is no usual hazard. */
    public static List<String> working(String type) {
        List<String> cautions = new ArrayList<>(WORK.getOrDefault(type, List.of()));
        if (!cautions.isEmpty()) {
            cautions.add(Reminders.DEFER);
        }
        return cautions;
    }

    /** Reminders for weighing out materials of these roles. */
    public static List<String> weighing(Collection<MaterialRole> roles) {
        return Reminders.mixing(roles.stream()
                .map(role -> EventCodec.word(role).replace('-', ' '))
                .toList());
    }
}
