package slabside.audit;

import java.util.ArrayList;
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
    /** A run by itself, with what was found when its sheets were looked through. */
    static Audited alone(StudioView.RunRecord run) {
        List<Series> followed = new ArrayList<>(Series.of(run));
        followed.addAll(Series.lookedThrough(run));
        return of(run, followed);
    }

    /** One of several runs: what was found of the finished sheets may come from any of them, and is weighed for all at once. */
    static Audited amongOthers(StudioView.RunRecord run) {
        return of(run, Series.of(run));
    }

    private static Audited of(StudioView.RunRecord run, List<Series> followed) {
        List<Suspect> suspects = Suspects.of(run);
        List<Ranking> each = followed.stream()
                .map(series -> Ranking.of(run, series, suspects))
                .toList();
        // The one that changed most was searched for among all; where it did, the others are asked whether they did
        // too.
        boolean any =
                each.stream().anyMatch(ranking -> ranking.among(each.size()).changed());
        List<Ranking> rankings = each.stream()
                .map(ranking -> any ? ranking : ranking.among(each.size()))
                .sorted(Comparator.comparing((Ranking ranking) -> !ranking.changed())
                        .thenComparing(ranking -> !ranking.series().shows())
                        .thenComparing(ranking -> ranking.series().kind())
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
