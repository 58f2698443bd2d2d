package slabside.audit;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import slabside.plugin.StudioView;

/**
 * A run held against what was written down of it.
 *
 * @param rankings one for each series, those that changed first; among them what shows on the print before what was fed, and
 *     what was read before what was judged and counted, for it says more
 */
record Audited(StudioView.RunRecord run, List<Suspect> suspects, List<Ranking> rankings) {
    static Audited of(StudioView.RunRecord run) {
        List<Suspect> suspects = Suspects.of(run);
        List<Ranking> rankings = Series.of(run).stream()
                .map(series -> Ranking.of(run, series, suspects))
                .sorted(Comparator.comparing((Ranking each) -> !each.changed())
                        .thenComparing(each -> !each.series().shows())
                        .thenComparing(each -> each.series().kind())
                        .thenComparing(Ranking::noChange))
                .toList();
        return new Audited(run, suspects, rankings);
    }

    /** The series that says most; empty when nothing was followed. */
    Optional<Ranking> main() {
        return rankings.stream().findFirst();
    }

    List<Ranking> changed() {
        return rankings.stream().filter(Ranking::changed).toList();
    }
}
