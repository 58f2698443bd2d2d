package slabside.plugin;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/** The usual reminders of the trade (common practice, no source); they defer to the data sheet and judge nothing. */
public final class Reminders {
    /** Stands behind all others. */
    public static final String DEFER =
            "Reminder only. Follow the current safety data sheet, your workplace rules and local fire, waste and ventilation codes."
                    + " For exposure, storage or disposal ask a qualified professional. This program does not judge whether a material is safe.";

    public static final String RAGS = "Oily rags heat by themselves: into the closed metal can, emptied every day.";

    private Reminders() {}

    /**
     * For weighing out and mixing materials.
     *
     * @param roles as {@link StudioView.Material#role()} gives them
     */
    public static List<String> mixing(Collection<String> roles) {
        List<String> reminders = new ArrayList<>();
        if (roles.contains("powder")) {
            reminders.add("Powder: wear the mask its data sheet names, fold it in with a clean knife, do not pour.");
        }
        if (roles.contains("drier")) {
            reminders.add("Drier: gloves; it may sensitise the skin.");
        }
        if (roles.contains("varnish") || roles.contains("ink") || roles.contains("drier")) {
            reminders.add(RAGS);
        }
        reminders.add(DEFER);
        return reminders;
    }
}
