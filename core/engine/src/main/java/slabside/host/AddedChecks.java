package slabside.host;

import java.util.ArrayList;
import java.util.List;
import slabside.plugin.AuditCheck;
import slabside.plugin.StudioView;

/**
 * What plugins hold runs against, beside the rules of the trade. A check that fails is told as such; it never keeps a run from
 * being told.
 */
record AddedChecks(List<AuditCheck> checks) {
    static final AddedChecks NONE = new AddedChecks(List.of());

    AddedChecks {
        checks = List.copyOf(checks);
    }

    /**
     * A run with what they found.
     *
     * @param studio as the checks see it
     */
    StudioView.RunRecord to(StudioView.RunRecord run, StudioView studio) {
        if (checks.isEmpty()) {
            return run;
        }
        List<StudioView.Check> found = new ArrayList<>(run.checks());
        for (AuditCheck check : checks) {
            try {
                found.addAll(check.check(run, studio));
            } catch (RuntimeException failed) {
                found.add(new StudioView.Check(
                        check.card().id(), "This check of a plugin could not be made: " + failed.getMessage(), ""));
            }
        }
        return new StudioView.RunRecord(
                run.run(),
                run.name(),
                run.edition(),
                run.surface(),
                run.open(),
                run.standard(),
                run.outOfBand(),
                run.pulls(),
                run.happenings(),
                found);
    }
}
