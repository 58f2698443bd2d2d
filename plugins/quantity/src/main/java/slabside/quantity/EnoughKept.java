package slabside.quantity;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.Chance;

/** Whether the packets that are kept of an ink are enough for what is to be printed, and what to mix if they are not. */
public final class EnoughKept implements Calculator {
    private static final Question<String> LIKE =
            Question.pick("like", "Ink", "vessel").hint("a packet or mix of it");
    private static final Question<Integer> PULLS =
            Question.count("pulls", "Pulls", 1, 5_000).hint("newsprint and proofs too");
    private static final Question<Double> EACH = Question.number("each", "A print takes", "g", 0.005, 20);
    private static final Question<Mass> ON_SLAB =
            Question.mass("slab", "Ink that stays on slab and roller").preset("20", Question.Origin.ASSUMPTION);
    private static final Question<Double> ALIKE = Question.percent(
                    "alike", "The same ink, if no share differs by more than", 0.1, 20)
            .preset("1", Question.Origin.ASSUMPTION);
    /** Relative standard uncertainty of what a print takes; an assumption. */
    private static final double EACH_U = 0.1;

    /** Part of itself by which an ink or modifier may differ, and per cent below which it does not matter; assumptions. */
    private static final double PART = 0.15;

    private static final double NOTHING = 0.05;
    private static final int PLACES = 20;
    /** Chance from which it is called enough. */
    private static final double SURE = 0.9;

    private static final List<String> KINDS = List.of("packet", "mix");
    private static final List<String> LATE = List.of("tack reducer", "drier");

    /**
     * @param off largest difference of a share, in per cent
     */
    private record Kept(StudioView.Composition in, double off) {}

    @Override
    public Card card() {
        return new Card("enough-kept", "Enough of what is kept?", "Do the packets of this ink last for the edition?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(LIKE, PULLS, EACH, ON_SLAB, ALIKE);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Composition like = Mixes.of(studio, replies.to(LIKE));
        List<Kept> kept = kept(like, replies.to(ALIKE), studio);
        double printing = replies.to(PULLS) * replies.to(EACH);
        double need = printing + replies.to(ON_SLAB).grams();
        double there =
                kept.stream().mapToDouble(each -> each.in().grams().value()).sum();
        double u = StrictMath.sqrt(kept.stream()
                .mapToDouble(each -> each.in().grams().u() * each.in().grams().u())
                .sum());
        double spread = StrictMath.hypot(u, printing * EACH_U);
        double chance = Chance.below((there - need) / spread);
        double missing = need - there;
        // So much that it is enough in nine of ten.
        double toMix = Math.max(0, missing + Chance.NINE_OF_TEN * spread);
        Answer answer = Answer.titled("Enough of what is kept?")
                .text(
                        chance >= SURE
                                ? "Yes: what is kept of it is enough."
                                : chance >= 1 - SURE
                                        ? "It may just be enough, or not: mix some more before you begin, while there is old ink to match against."
                                        : kept.isEmpty()
                                                ? "Nothing is kept of it any more."
                                                : "No: what is kept of it is not enough.")
                .quantity(
                        "Kept",
                        new Uncertain(there, u),
                        "g",
                        kept.size() + (kept.size() == 1 ? " packet or mix" : " packets and mixes"))
                .quantity(
                        "Needed",
                        new Uncertain(need, printing * EACH_U),
                        "g",
                        "pulls × what a print takes + slab and roller")
                .quantity("Chance that it is enough", StrictMath.round(100 * chance), "%", "both as they are known");
        List<Answer.Point> lasts = new ArrayList<>();
        for (int i = 1; i <= PLACES; i++) {
            double pulls = 2.0 * replies.to(PULLS) * i / PLACES;
            double takes = pulls * replies.to(EACH);
            lasts.add(new Answer.Point(
                    pulls,
                    100
                            * Chance.below((there - takes - replies.to(ON_SLAB).grams())
                                    / StrictMath.hypot(u, takes * EACH_U))));
        }
        answer = answer.chart("Chance that it lasts", "pulls", "%", lasts);
        if (!kept.isEmpty()) {
            List<List<String>> rows = new ArrayList<>();
            List<String> about = new ArrayList<>();
            for (Kept each : kept) {
                rows.add(List.of(
                        each.in().name(),
                        String.format(
                                Locale.ROOT,
                                "%.1f ± %.1f",
                                each.in().grams().value(),
                                each.in().grams().expanded()),
                        String.format(Locale.ROOT, "%.2f", each.off()),
                        String.join(", ", late(each.in()))));
                about.add(each.in().vessel());
            }
            answer = answer.with(new Answer.Table(
                    "Kept of it, the oldest first",
                    List.of("packet or mix", "g (k = 2)", "largest difference of a share, %", "holds already"),
                    rows,
                    about));
        }
        if (kept.stream().anyMatch(each -> !late(each.in()).isEmpty())) {
            answer = answer.caution(
                    "What holds a tack reducer or drier already gets none of it again; a kept packet with tack reducer may"
                            + " have loosened.");
        }
        for (Kept each : kept) {
            for (String gap : each.in().gaps()) {
                answer = answer.caution(each.in().name() + ": " + gap + "; its shares are of what was written down.");
            }
        }
        if (chance < SURE) {
            answer = answer.quantity("Mix in addition", toMix, "g", "so that it is enough in nine of ten")
                    .with(new Answer.Ask(
                            "The recipe for so much more",
                            "scale-a-mix",
                            Map.of(
                                    "mix",
                                    like.vessel(),
                                    "grams",
                                    BigDecimal.valueOf(StrictMath.round(toMix * 10 + 0.5), 1)
                                            .toPlainString())));
        }
        for (String kind : KINDS) {
            if (studio.find(kind, "").size() >= StudioView.PAGE) {
                answer = answer.caution(
                        "Only the newest " + StudioView.PAGE + " of each kind were looked at; there are older ones.");
                break;
            }
        }
        return answer.assumption("What a print takes is known within 10 %", "assumption")
                .assumption(
                        "The same ink: no ink or modifier differs by more than 15 % of itself beside that",
                        "assumption")
                .caution("Fold all of it together before printing: packets of one ink differ by what was weighed.");
    }

    private static List<Kept> kept(StudioView.Composition like, double alike, StudioView studio) {
        List<Kept> kept = new ArrayList<>();
        for (String kind : KINDS) {
            List<StudioView.Thing> things = new ArrayList<>(studio.find(kind, ""));
            Collections.reverse(things);
            for (StudioView.Thing thing : things) {
                StudioView.Composition in = studio.composition(thing.id());
                if (!in.shares().isEmpty() && in.grams().value() > 0) {
                    double off = off(like, in);
                    if (off <= alike) {
                        kept.add(new Kept(in, off));
                    }
                }
            }
        }
        kept.sort(Comparator.comparing(each -> each.off() > alike / 2));
        return kept;
    }

    /** Largest difference of a share, in per cent; infinite when an ink or modifier differs by much of itself. */
    private static double off(StudioView.Composition one, StudioView.Composition other) {
        Map<String, Double> a = shares(one);
        Map<String, Double> b = shares(other);
        Set<String> bases = new HashSet<>();
        for (StudioView.Composition each : List.of(one, other)) {
            each.shares().stream()
                    .map(StudioView.Share::material)
                    .filter(material -> material.role().equals("base"))
                    .forEach(material -> bases.add(material.id()));
        }
        TreeSet<String> all = new TreeSet<>(a.keySet());
        all.addAll(b.keySet());
        double most = 0;
        for (String id : all) {
            double mine = 100 * a.getOrDefault(id, 0.0);
            double theirs = 100 * b.getOrDefault(id, 0.0);
            double apart = Math.abs(mine - theirs);
            if (!bases.contains(id) && apart > Math.max(NOTHING, PART * Math.max(mine, theirs))) {
                return Double.POSITIVE_INFINITY;
            }
            most = Math.max(most, apart);
        }
        return most;
    }

    private static Map<String, Double> shares(StudioView.Composition in) {
        Map<String, Double> shares = new HashMap<>();
        in.shares()
                .forEach(share ->
                        shares.merge(share.material().id(), share.share().value(), Double::sum));
        return shares;
    }

    private static List<String> late(StudioView.Composition in) {
        return in.shares().stream()
                .filter(share -> LATE.contains(share.material().role()))
                .map(share -> share.material().name())
                .toList();
    }
}
