package slabside.host;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import slabside.event.MaterialRole;

/** The usual reminders, where the hazard is; they defer to the data sheet and judge nothing. */
public final class Cautions {
    private static final String REMINDER =
            "Reminder only. Follow the current safety data sheet, your workplace rules and local fire, waste and ventilation codes."
                    + " For exposure, storage or disposal ask a qualified professional. This program does not judge whether a material is safe.";

    private Cautions() {}

    /** Reminders for weighing out materials of these roles. */
    public static List<String> weighing(Collection<MaterialRole> roles) {
        List<String> cautions = new ArrayList<>();
        if (roles.contains(MaterialRole.POWDER)) {
            cautions.add("Powder: wear the mask its data sheet names, fold it in with a clean knife, do not pour.");
        }
        if (roles.contains(MaterialRole.DRIER)) {
            cautions.add("Drier: gloves; it may sensitise the skin.");
        }
        if (roles.contains(MaterialRole.VARNISH)
                || roles.contains(MaterialRole.INK)
                || roles.contains(MaterialRole.DRIER)) {
            cautions.add("Oily rags heat by themselves: into the closed metal can, emptied every day.");
        }
        cautions.add(REMINDER);
        return cautions;
    }
}
