package slabside.plugin;

import java.util.List;

/**
 * A rule that runs are held against, beside the rules of the trade; what it finds stands in the audit of the run. Found through
 * one line in {@code META-INF/services/slabside.plugin.AuditCheck}.
 */
public interface AuditCheck {
    /** How it introduces itself; always the same. */
    Card card();

    /**
     * What a run does not meet; nothing when it meets the rule, or when the log does not say.
     *
     * @param run with every edition pull; its own checks are those of the trade only
     */
    List<StudioView.Check> check(StudioView.RunRecord run, StudioView studio);
}
