package slabside.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.LossRate;

/**
 * How many sheets to tear so that enough impressions come through: what is wanted, and what each run and the curating lost
 * here before.
 */
public final class SheetsToTear implements Calculator {
    private static final Set<String> SURFACES = Set.of("flat", "wash", "crayon", "key", "blend");
    /** Before anything was printed here: one sheet of twenty a run; twenty sheets' worth of it. Assumptions. */
    private static final LossRate AT_A_RUN = new LossRate(0.05, 20);
    /** And at curating one of twenty-five. Assumption. */
    private static final LossRate AT_CURATING = new LossRate(0.04, 25);

    private static final int MOST_RUNS = 20;
    private static final int MOST_SHEETS = 1_500;

    private static final Question<String> EDITION =
            Question.pick("edition", "For a planned edition", "edition").optional();
    private static final Question<Integer> NUMBERED =
            Question.count("numbered", "Numbered impressions wanted", 1, 400).optional();
    private static final Question<Integer> PROOFS = Question.count(
                    "proofs", "Proofs wanted beside them (AP, PP, archive …)", 0, 100)
            .optional();
    private static final Question<String> RUNS = Question.text(
                    "runs", "Surfaces of the runs in order, such as flat, wash, key")
            .optional();
    private static final Question<Double> SURENESS =
            Question.number("sureness", "How sure", "%", 50, 99).preset("90", Question.Origin.ASSUMPTION);

    @Override
    public Card card() {
        return new Card("sheets-to-tear", "Sheets to tear", "How many sheets should I tear for this edition?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION, NUMBERED, PROOFS, RUNS, SURENESS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Optional<StudioView.Job> job = replies.maybe(EDITION)
                .map(id -> studio.job(id)
                        .orElseThrow(() -> new BadInput(EDITION.label(), id, "there is no edition of this id")));
        int numbered = replies.maybe(NUMBERED)
                .or(() -> job.flatMap(each -> each.numbered().stream().boxed().findFirst()))
                .orElseThrow(() -> new BadInput(
                        NUMBERED.label(), "", "say how many, or choose an edition in whose plan it stands"));
        Optional<Integer> proofs = replies.maybe(PROOFS)
                .or(() -> job.flatMap(each -> each.proofs().stream().boxed().findFirst()));
        List<String> surfaces = replies.maybe(RUNS)
                .map(SheetsToTear::surfaces)
                .or(() -> job.map(StudioView.Job::surfaces))
                .filter(runs -> !runs.isEmpty())
                .orElseThrow(() -> new BadInput(
                        RUNS.label(), "", "name the surface of each run, or choose an edition whose runs are planned"));
        int wanted = numbered + proofs.orElse(0);
        double sureness = replies.to(SURENESS) / 100;
        List<StudioView.PrintedRun> past = studio.printedRuns();
        List<LossRate> stages = new ArrayList<>();
        List<List<String>> rows = new ArrayList<>();
        boolean assumed = false;
        for (int i = 0; i < surfaces.size(); i++) {
            String surface = surfaces.get(i);
            List<StudioView.PrintedRun> alike = past.stream()
                    .filter(run -> surface.isEmpty() || run.surface().equals(surface))
                    .toList();
            LossRate rate = LossRate.of(
                    alike.stream()
                            .map(run -> new LossRate.Once(run.sheets(), run.spoiled()))
                            .toList(),
                    AT_A_RUN);
            assumed |= alike.size() < 3;
            stages.add(rate);
            rows.add(row(
                    "run " + (i + 1) + (surface.isEmpty() ? "" : ", " + surface),
                    rate,
                    alike.stream().mapToInt(StudioView.PrintedRun::spoiled).sum(),
                    alike.stream().mapToInt(StudioView.PrintedRun::sheets).sum(),
                    alike.size() + (alike.size() == 1 ? " run" : " runs")));
        }
        List<StudioView.Curating> curatings = studio.curatings();
        LossRate curating = LossRate.of(
                curatings.stream()
                        .map(each -> new LossRate.Once(each.seen(), each.seen() - each.good()))
                        .toList(),
                AT_CURATING);
        stages.add(curating);
        int seen = curatings.stream().mapToInt(StudioView.Curating::seen).sum();
        int good = curatings.stream().mapToInt(StudioView.Curating::good).sum();
        rows.add(row(
                "curating",
                curating,
                seen - good,
                seen,
                curatings.size() + (curatings.size() == 1 ? " edition" : " editions")));
        double through = stages.stream().mapToDouble(stage -> 1 - stage.mean()).reduce(1, (a, b) -> a * b);
        int tear = LossRate.sheets(wanted, stages, sureness, MOST_SHEETS);
        Answer answer = Answer.titled("Sheets to tear")
                .quantity(
                        "Tear",
                        tear,
                        "sheets",
                        String.format(
                                Locale.ROOT,
                                "the least with which at least %d come through %.0f times in a hundred",
                                wanted,
                                sureness * 100))
                .quantity("Wanted", wanted, "sheets", numbered + " numbered + " + proofs.orElse(0) + " proofs")
                .quantity("Overs", tear - wanted, "sheets", "tear − wanted")
                .quantity(
                        "On average enough",
                        Math.ceil(wanted / through - 1e-9),
                        "sheets",
                        String.format(Locale.ROOT, "wanted ÷ %.3f, the part that comes through", through))
                .with(new Answer.Table(
                        "What is lost, stage by stage",
                        List.of("stage", "expected %", "lost here before", "from"),
                        rows))
                .text("Newsprint and the sheets for trial and colour trial proofs come on top.");
        if (proofs.isEmpty()) {
            answer = answer.assumption("no proofs beside the numbered impressions", "nobody said how many are wanted");
        }
        return assumed || curatings.size() < 3
                ? answer.assumption(
                        "where fewer than three like it were printed here, one sheet of twenty a run and one of"
                                + " twenty-five at curating count as if twenty and twenty-five sheets had shown it",
                        "assumption; overs of 8 to 60 % are common practice, no source")
                : answer;
    }

    private static List<String> surfaces(String typed) {
        List<String> surfaces = Arrays.stream(typed.toLowerCase(Locale.ROOT).split("[,;\\s]+"))
                .filter(word -> !word.isEmpty())
                .toList();
        for (String surface : surfaces) {
            if (!SURFACES.contains(surface)) {
                throw new BadInput(RUNS.label(), surface, "use flat, wash, crayon, key, blend");
            }
        }
        if (surfaces.size() > MOST_RUNS) {
            throw new BadInput(RUNS.label(), surfaces.size() + " runs", "at most " + MOST_RUNS);
        }
        return surfaces;
    }

    private static List<String> row(String stage, LossRate rate, int lost, int of, String from) {
        return List.of(
                stage,
                String.format(Locale.ROOT, "%.1f", rate.mean() * 100),
                of == 0 ? "nothing yet" : lost + " of " + of,
                of == 0 ? "assumed" : from);
    }
}
