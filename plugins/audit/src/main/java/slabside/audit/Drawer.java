package slabside.audit;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;
import slabside.statistics.Individuals;

/** Which sheets to take from the drawer, and which other prints carry the same ink. */
final class Drawer {
    static final String NO_CODE = "no code";

    private final Audited audited;
    private final StudioView.RunRecord run;
    private final StudioView studio;

    Drawer(Audited audited, StudioView studio) {
        this.audited = audited;
        this.run = audited.run();
        this.studio = studio;
    }

    /** Sheets to look at: from the change on, or those that something was found of. */
    Answer.Table sheets(Ranking main) {
        Ranking.Change change = main.change();
        boolean step = main.series().kind() != Series.Kind.COUNTED
                && (!main.isInTheLog() || main.first().suspect().hasPlace());
        Set<Integer> flagged = new LinkedHashSet<>();
        for (Ranking each : audited.changed()) {
            if (each.series().kind() == Series.Kind.COUNTED) {
                flagged.addAll(each.series().counted());
            }
        }
        Optional<Individuals> band = main.series().band();
        if (!step && band.isPresent()) {
            for (int place : band.get().outside(main.series().values())) {
                flagged.add(main.series().pulls()[place]);
            }
        }
        List<List<String>> rows = new ArrayList<>();
        List<String> about = new ArrayList<>();
        for (StudioView.PullRow pull : run.pulls()) {
            boolean perhaps = step && pull.number() >= change.from() && pull.number() < change.pull();
            boolean after = step && pull.number() >= change.pull();
            if (!pull.secondHit() && (perhaps || after || flagged.contains(pull.number()))) {
                rows.add(List.of(
                        pull.sheet().isEmpty() ? NO_CODE : pull.sheet(),
                        pull.impression(),
                        String.valueOf(pull.number()),
                        pull.grade(),
                        pull.looked()
                                .map(looked -> looked.grade()
                                        + (looked.reasons().isEmpty()
                                                ? ""
                                                : ", " + String.join(", ", looked.reasons())))
                                .orElse(""),
                        perhaps ? "perhaps before the change" : ""));
                about.add(pull.event());
            }
        }
        return new Answer.Table(
                        "Sheets to take from the drawer",
                        List.of("sheet", "number", "pull", "at the press", "looked through", "note"),
                        rows,
                        about)
                .withoutEmptyColumns();
    }

    /** Prints of other runs that carry the ink that came in. */
    Answer elsewhere(Answer answer, Ranking main) {
        if (!main.isInTheLog() || main.first().suspect().brought().isEmpty()) {
            return answer;
        }
        String ink = main.first().suspect().brought();
        Optional<StudioView.Thing> mix = studio.thing("mix", ink).or(() -> studio.thing("packet", ink));
        if (mix.isEmpty()) {
            return answer;
        }
        Map<String, Set<String>> others = new TreeMap<>();
        for (StudioView.Carrier carrier : studio.carriers(mix.get().id())) {
            if (!carrier.run().equals(run.run())) {
                others.computeIfAbsent(carrier.runName(), any -> new LinkedHashSet<>())
                        .add(carrier.sheet().isEmpty() ? "a sheet without a code" : carrier.sheet());
            }
        }
        if (others.isEmpty()) {
            return answer.text("No other run carries ink from " + ink + ".");
        }
        List<List<String>> rows = new ArrayList<>();
        others.forEach((name, sheets) -> rows.add(List.of(name, String.join(", ", sheets))));
        return answer.with(new Answer.Table("Other prints with " + ink + " in them", List.of("run", "sheets"), rows))
                .with(new Answer.Link(
                        "Where else " + ink + " went, with its shares",
                        mix.get().id()));
    }
}
