package slabside.quantity;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What a second batch does to the ink on slab and roller when it is charged, and what to mix so that nothing jumps. */
public final class ToppingUp implements Calculator {
    private static final Question<String> RUN = Question.pick("run", "Run", "run");
    private static final Question<Integer> SIDE = Question.count("ink", "Ink across the roller", 1, 8)
            .preset("1", Question.Origin.ASSUMPTION)
            .hint("1 at the left; 1 where there is one ink");
    private static final Question<String> MIX = Question.pick("mix", "Second batch, if it is mixed already", "vessel")
            .optional();
    private static final Question<Mass> CHARGE = Question.mass("charge", "A charge");
    private static final Question<Integer> CHARGES =
            Question.count("charges", "Charges", 1, 30).preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Mass> POOL = Question.mass("pool", "Ink on slab and roller before a charge")
            .optional()
            .hint("open for what the log says of it now");
    private static final Question<Mass> BATCH =
            Question.mass("batch", "Batch to be mixed").preset("50", Question.Origin.ASSUMPTION);
    /** A share that moves by so many per cent of the whole, and by such a part of itself, is called a jump; assumptions. */
    private static final double JUMP = 0.25;

    private static final double JUMP_PART = 0.1;
    /** A part of itself that is a jump however small the share, such as of a strong ink; and per cent that are as good as none. */
    private static final double LARGE_PART = 0.25;

    private static final double NOTHING = 0.1;

    @Override
    public Card card() {
        return new Card("topping-up", "Topping up", "What happens on the slab when a second batch is charged?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN, SIDE, MIX, CHARGE, CHARGES, POOL, BATCH);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.RunRecord run = studio.runRecord(replies.to(RUN))
                .orElseThrow(() -> new BadInput(RUN.label(), replies.to(RUN), "pick a run of this studio"));
        int side = replies.to(SIDE) - 1;
        Optional<StudioView.OnLoad> last = run.pulls().stream()
                .map(StudioView.PullRow::loads)
                .filter(loads -> loads.size() > side)
                .map(loads -> loads.get(side))
                .reduce((before, later) -> later);
        if (last.isEmpty() || last.get().shares().isEmpty()) {
            throw new BadInput(
                    SIDE.label(),
                    side + 1,
                    "no pull of " + run.name() + " with such an ink on the rollers is written down");
        }
        Map<String, Double> load = last.get().shares();
        double pool = replies.maybe(POOL).map(Mass::grams).orElse(last.get().grams());
        if (!(pool > 0)) {
            throw new BadInput(POOL.label(), pool + " g", "give what lies on slab and roller before a charge");
        }
        Answer answer = Answer.titled("Topping up: " + run.name());
        Answer told = replies.maybe(MIX).isPresent()
                ? charged(answer, replies, studio, load, pool)
                : answer.text("A second batch mixed to these shares changes nothing when it is charged.");
        double batch = replies.to(BATCH).grams();
        List<List<String>> rows = new ArrayList<>();
        load.entrySet().stream()
                .sorted(Map.Entry.<String, Double>comparingByValue().reversed())
                .forEach(each -> rows.add(List.of(
                        each.getKey(),
                        String.format(Locale.ROOT, "%.2f", each.getValue() * 100),
                        String.format(Locale.ROOT, "%.2f", each.getValue() * batch))));
        return told.table(
                        "A batch as the ink is on the rollers now",
                        List.of("material", "%", String.format(Locale.ROOT, "g for %.0f g", batch)),
                        rows)
                .heading("At the bench")
                .with(steps(load, replies.to(BATCH), studio))
                .quantity(
                        "On slab and roller before a charge",
                        pool,
                        "g",
                        replies.maybe(POOL).isPresent() ? "as given" : "by the balance of the run at its last pull")
                .assumption("Between two charges as much is printed as was charged", "assumption")
                .assumption("What is charged is worked through all that lies on slab and roller", "assumption")
                .caution("Mix it before the first batch is used up, and hold a dab of both side by side.");
    }

    /** In the order of weighing out: base first, powder, drier and tack reducer last; in steps of the scale. */
    private static Answer.Steps steps(Map<String, Double> load, Mass batch, StudioView studio) {
        Map<String, String> roles = new LinkedHashMap<>();
        studio.materials().forEach(material -> roles.put(material.name(), material.role()));
        Mass step = studio.scaleStep();
        List<Answer.Step> steps = new ArrayList<>(
                List.of(new Answer.Step("Put the empty cup on the scale and tare it", Mass.ZERO.shown(step))));
        long reading = 0;
        for (Map.Entry<String, Double> each : load.entrySet().stream()
                .sorted(Comparator.comparingInt((Map.Entry<String, Double> part) ->
                                ORDER.indexOf(roles.getOrDefault(part.getKey(), "ink")))
                        .thenComparing(Map.Entry.comparingByValue(Comparator.reverseOrder())))
                .toList()) {
            long count = Math.round(each.getValue() * batch.milligrams() / step.milligrams());
            Mass grams = new Mass(count * step.milligrams());
            if (grams.milligrams() == 0) {
                steps.add(new Answer.Step(each.getKey() + ": less than the scale shows, from a let-down", ""));
                continue;
            }
            reading += grams.milligrams();
            steps.add(new Answer.Step(grams.shown(step) + " of " + each.getKey(), new Mass(reading).shown(step)));
        }
        return new Answer.Steps(steps);
    }

    private static final List<String> ORDER =
            List.of("base", "varnish", "opaque white", "ink", "other", "retarder", "powder", "drier", "tack reducer");

    private static Answer charged(
            Answer answer, Replies replies, StudioView studio, Map<String, Double> load, double pool) {
        StudioView.Composition mix = Mixes.of(studio, replies.to(MIX));
        Map<String, Double> fresh = new LinkedHashMap<>();
        mix.shares()
                .forEach(share ->
                        fresh.merge(share.material().name(), share.share().value(), Double::sum));
        TreeSet<String> names = new TreeSet<>(load.keySet());
        names.addAll(fresh.keySet());
        double charge = replies.to(CHARGE).grams();
        int charges = replies.to(CHARGES);
        List<List<String>> rows = new ArrayList<>();
        List<String> jumps = new ArrayList<>();
        String most = "";
        double largest = -1;
        for (String name : names) {
            double old = load.getOrDefault(name, 0.0);
            double now = old;
            List<String> row = new ArrayList<>(List.of(
                    name,
                    String.format(Locale.ROOT, "%.2f", old * 100),
                    String.format(Locale.ROOT, "%.2f", fresh.getOrDefault(name, 0.0) * 100)));
            for (int i = 1; i <= charges; i++) {
                now = (now * pool + fresh.getOrDefault(name, 0.0) * charge) / (pool + charge);
                if (i == 1 || i == charges) {
                    row.add(String.format(Locale.ROOT, "%.2f", now * 100));
                }
            }
            rows.add(row);
            double moved = Math.abs(now - old) * 100;
            double of = moved / (100 * Math.max(old, now) + NOTHING);
            if (moved > JUMP && of > JUMP_PART || of > LARGE_PART) {
                jumps.add(String.format(Locale.ROOT, "%s from %.2f to %.2f %%", name, old * 100, now * 100));
            }
            if (of > largest) {
                largest = of;
                most = name;
            }
        }
        List<String> headings = new ArrayList<>(List.of("material", "now, %", "batch, %"));
        for (int i = 1; i <= charges; i++) {
            if (i == 1 || i == charges) {
                headings.add("after " + i);
            }
        }
        double share = load.getOrDefault(most, 0.0);
        List<Answer.Point> points = new ArrayList<>(List.of(new Answer.Point(0, share * 100)));
        for (int i = 1; i <= charges; i++) {
            share = (share * pool + fresh.getOrDefault(most, 0.0) * charge) / (pool + charge);
            points.add(new Answer.Point(i, share * 100));
        }
        Answer told = jumps.isEmpty()
                ? answer.text("Nothing jumps: " + mix.name() + " may be charged.")
                : answer.text("With " + mix.name() + " the ink changes while it is printed: " + String.join("; ", jumps)
                                + ".")
                        .with(new Answer.Ask(
                                "What to add to " + mix.name() + " to bring it to a recipe",
                                "to-a-recipe",
                                Map.of("mix", mix.vessel())));
        for (String gap : mix.gaps()) {
            told = told.caution(gap + "; shares are of what was written down.");
        }
        return told.table("On the rollers, charge by charge", headings, rows)
                .chart(most + " on the rollers", "charge", "%", points);
    }
}
