package slabside.quantity;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What to add to a mix to bring it to a recipe, or to the shares of another mix; nothing is ever taken out. */
public final class ToRecipe implements Calculator {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final Question<String> RECIPE =
            Question.pick("recipe", "Bring it to this recipe", "recipe").optional();
    private static final Question<String> LIKE =
            Question.pick("like", "or to what is in this mix", "vessel").optional();
    private static final double NEGLIGIBLE = 1e-6;

    @Override
    public Card card() {
        return new Card("to-a-recipe", "Bring a mix to a recipe", "What must I still add?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, RECIPE, LIKE);
    }

    private record Line(StudioView.Material material, double there, double share) {}

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Composition mix = Mixes.of(studio, replies.to(MIX));
        Map<String, Line> lines = new LinkedHashMap<>();
        for (StudioView.Planned planned : wanted(replies, studio)) {
            lines.put(planned.material().id(), new Line(planned.material(), 0, planned.share()));
        }
        List<String> strangers = new ArrayList<>();
        for (StudioView.Share share : mix.shares()) {
            Line line = lines.get(share.material().id());
            if (line == null) {
                strangers.add(String.format(
                        Locale.ROOT,
                        "%s (%.2f g)",
                        share.material().name(),
                        share.grams().value()));
            } else {
                lines.put(
                        share.material().id(),
                        new Line(line.material, share.grams().value(), line.share));
            }
        }
        double whole = lines.values().stream()
                .mapToDouble(line -> line.there / line.share)
                .max()
                .orElse(0);
        List<List<String>> rows = new ArrayList<>();
        double added = 0;
        for (Line line : lines.values()) {
            double add = line.share * whole - line.there;
            added += add;
            rows.add(List.of(
                    line.material.name(),
                    String.format(Locale.ROOT, "%.2f", line.share * 100),
                    String.format(Locale.ROOT, "%.2f", line.there),
                    add < NEGLIGIBLE ? "–" : String.format(Locale.ROOT, "%.2f", add)));
        }
        Answer answer = Mixes.gaps(Answer.titled("Bring to a recipe: " + mix.name()), mix)
                .with(new Answer.Table("Additions only", List.of("material", "wanted %", "there g", "add g"), rows))
                .quantity("To add in all", added, "g", "largest of (there ÷ wanted share), less what is there")
                .quantity("Then there is", whole, "g", "of the recipe");
        for (String stranger : strangers) {
            answer = answer.caution("Not in the recipe and cannot be taken out: " + stranger
                    + ". The mix comes near the recipe, not to it.");
        }
        return answer;
    }

    private static List<StudioView.Planned> wanted(Replies replies, StudioView studio) {
        List<StudioView.Planned> wanted = new ArrayList<>();
        replies.maybe(RECIPE).ifPresent(recipe -> wanted.addAll(studio.recipe(recipe)));
        if (wanted.isEmpty()) {
            replies.maybe(LIKE)
                    .ifPresent(like -> Mixes.of(studio, like)
                            .shares()
                            .forEach(share -> wanted.add(new StudioView.Planned(
                                    share.material(), share.share().value()))));
        }
        if (wanted.isEmpty()) {
            throw new BadInput("recipe", "", "pick a recipe, or a mix whose shares are wanted");
        }
        return wanted;
    }
}
