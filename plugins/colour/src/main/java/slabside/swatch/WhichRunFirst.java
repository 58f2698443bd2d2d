package slabside.swatch;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** In which order inks are best printed so that their overlaps come nearest to what is wanted, and whether it matters. */
public final class WhichRunFirst implements Calculator {
    private static final Question<String> FIRST = Question.pick("first", "One ink (1)", "vessel");
    private static final Question<String> SECOND = Question.pick("second", "Another (2)", "vessel");
    private static final Question<String> THIRD =
            Question.pick("third", "A third (3)", "vessel").optional();
    private static final Question<String> FOURTH =
            Question.pick("fourth", "A fourth (4)", "vessel").optional();
    private static final Question<List<List<String>>> WANTED = Question.rows(
                    "wanted", "Wanted overlaps", "inks", "L*", "a*", "b*")
            .optional()
            .hint("inks by their numbers, such as 1+2, and the colour under D50");
    /** ΔE00 below which nobody sees the order (common practice, no source). */
    private static final double SEEN = 1;

    /** A colour wanted where some inks lie one over the other. */
    private record Wanted(List<Integer> inks, CieLab colour) {}

    private record Order(List<Integer> inks, double sum, double worst) {}

    @Override
    public Card card() {
        return new Card("which-run-first", "Which run first?", "In which order should these inks be printed?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(FIRST, SECOND, THIRD, FOURTH, WANTED, Sheets.FILM, Sheets.PAPER, Sheets.DARKEST);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        List<Mixed> inks = new ArrayList<>();
        for (Question<String> question : List.of(FIRST, SECOND, THIRD, FOURTH)) {
            replies.maybe(question).ifPresent(vessel -> inks.add(Mixed.of(vessel, question.label(), studio)));
        }
        Stack stack = new Stack(
                inks,
                replies.to(Sheets.FILM),
                Sheets.paper(replies.to(Sheets.PAPER)),
                replies.to(Sheets.DARKEST) / 100,
                studio);
        List<Wanted> wanted = wanted(replies, inks.size());
        Answer answer = Answer.titled("Which run first?");
        List<List<String>> care = Overlaps.care(stack);
        double most = care.stream()
                .mapToDouble(row -> Double.parseDouble(row.get(1)))
                .max()
                .orElse(0);
        if (most < SEEN) {
            answer = answer.text(
                    "As far as is known, no pair of these cares: print in whichever order suits the drying.");
        }
        if (!wanted.isEmpty()) {
            List<Order> orders = stack.orders(inks.size()).stream()
                    .map(order -> weighed(order, wanted, stack))
                    .sorted(Comparator.comparingDouble(Order::sum))
                    .toList();
            Order best = orders.get(0);
            answer = answer.text(String.format(
                    Locale.ROOT,
                    "%s comes nearest: the wanted overlaps are off by ΔE00 %.1f in the mean, %.1f at most.",
                    stack.name(best.inks()),
                    best.sum() / wanted.size(),
                    best.worst()));
            List<Answer.Swatch> swatches = new ArrayList<>();
            for (Wanted each : wanted) {
                swatches.add(new Answer.Swatch(
                        "wanted, " + numbers(each.inks()),
                        slabside.colour.Srgb.ofD50(each.colour()).hex(),
                        Sheets.numbers(each.colour())));
                swatches.add(stack.swatch(within(best.inks(), each.inks())));
            }
            answer = answer.with(new Answer.Swatches("Wanted, and in the best order", swatches))
                    .table(
                            "Every order",
                            List.of("order", "mean ΔE00", "at most"),
                            orders.stream()
                                    .map(order -> List.of(
                                            stack.name(order.inks()),
                                            String.format(Locale.ROOT, "%.1f", order.sum() / wanted.size()),
                                            String.format(Locale.ROOT, "%.1f", order.worst())))
                                    .toList());
        } else {
            answer = answer.with(new Answer.Swatches(
                    "Each pair both ways round",
                    stack.orders(2).stream().map(stack::swatch).toList()));
        }
        answer = stack.told(answer.table("Which pairs care", List.of("pair", "ΔE00"), care));
        for (Mixed mix : inks) {
            answer = mix.told(answer);
        }
        return Sheets.honest(
                answer.caution(
                        "Light inks over dark and tacky over soft can fail whatever the colour says: pull a proof."),
                inks);
    }

    private static Order weighed(List<Integer> order, List<Wanted> wanted, Stack stack) {
        double sum = 0;
        double worst = 0;
        for (Wanted each : wanted) {
            double off = Difference.ciede2000(each.colour(), Sheets.seen(stack.best(within(order, each.inks()))));
            sum += off;
            worst = Math.max(worst, off);
        }
        return new Order(order, sum, worst);
    }

    private static List<Integer> within(List<Integer> order, List<Integer> inks) {
        return order.stream().filter(inks::contains).toList();
    }

    private static String numbers(List<Integer> inks) {
        return String.join(
                "+", inks.stream().map(ink -> String.valueOf(ink + 1)).toList());
    }

    private static List<Wanted> wanted(Replies replies, int inks) {
        List<Wanted> wanted = new ArrayList<>();
        for (List<String> row : replies.maybe(WANTED).orElse(List.of())) {
            List<Integer> which = new ArrayList<>();
            for (String number : row.get(0).split("\\+")) {
                if (!number.strip().matches("[1-9]") || Integer.parseInt(number.strip()) > inks) {
                    throw new BadInput(
                            WANTED.label(),
                            row.get(0),
                            "name inks by their numbers from 1 to " + inks + ", such as 1+2");
                }
                which.add(Integer.parseInt(number.strip()) - 1);
            }
            if (which.size() < 2 || which.stream().distinct().count() < which.size()) {
                throw new BadInput(WANTED.label(), row.get(0), "an overlap has two inks at least, each once");
            }
            wanted.add(new Wanted(
                    which, new CieLab(part(row, 1, 0, 100), part(row, 2, -200, 200), part(row, 3, -200, 200))));
        }
        return wanted;
    }

    private static double part(List<String> row, int column, double low, double high) {
        String cell = row.get(column).strip().replace(',', '.').replace('\u2212', '-');
        if (!cell.matches("-?\\d{1,3}(\\.\\d{1,6})?")) {
            throw new BadInput(WANTED.label(), row.get(column), "give L*, a* and b* as numbers");
        }
        double value = new BigDecimal(cell).doubleValue();
        if (value < low || value > high) {
            throw new BadInput(WANTED.label(), cell, "L* lies between 0 and 100, a* and b* within 200");
        }
        return value;
    }
}
