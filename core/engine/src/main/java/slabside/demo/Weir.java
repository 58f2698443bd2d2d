package slabside.demo;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.PaperEvent;
import slabside.event.Portion;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Wetness;
import slabside.event.Why;

/**
 * Scenario B: "Weir, Slack Water", spoiled after lunch by a second batch with ten times the tack reducer; and B′, the same
 * run with the second batch made right but twice as much charged.
 */
final class Weir {
    private static final int PLANNED = 48;
    private static final int PULLED = 36;

    private final Script script;
    private final Workshop shop;
    private final boolean overCharged;

    Weir(Script script, Workshop shop, boolean overCharged) {
        this.script = script;
        this.shop = shop;
        this.overCharged = overCharged;
    }

    void write(LocalDate day) {
        script.by(Workshop.PRINTER);
        script.at(day, 8, 10);
        ThingId edition = script.thing("edition");
        String title = overCharged ? "Weir, Slack Water (over-charged instead)" : "Weir, Slack Water";
        script.write(new EditionEvent.Planned(
                edition,
                title,
                "Benno Ashgrave",
                40,
                560_000L,
                760_000L,
                600_000L,
                800_000L,
                null,
                null,
                null,
                null,
                "one large flat, 80 % coverage"));
        ThingId run = script.thing("run");
        script.write(new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, "run 1, the water", null));
        ThingId paper = script.thing("paper");
        script.write(new PaperEvent.Received(
                paper, "mould-made 300 g", 60, 600_000L, 800_000L, new BigDecimal("300"), null, null));
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= PLANNED + 2; i++) {
            sheets.add(new Sheet(
                    script.thing("sheet"), String.format(Locale.ROOT, overCharged ? "WX-%02d" : "WS-%02d", i)));
        }
        script.write(new PaperEvent.Torn(paper, sheets, 600_000L, 800_000L, edition, null));
        ThingId recipe = script.thing("recipe");
        script.write(new InkEvent.RecipePlanned(
                recipe,
                overCharged ? "Slack water (again)" : "Slack water",
                List.of(
                        new Portion(shop.material("base"), new BigDecimal("65.00")),
                        new Portion(shop.material("blue"), new BigDecimal("7.97")),
                        new Portion(shop.material("black"), new BigDecimal("5.00")),
                        new Portion(shop.material("white"), new BigDecimal("21.09")),
                        new Portion(shop.material("mag"), new BigDecimal("0.47")),
                        new Portion(shop.material("reducer"), new BigDecimal("0.47"))),
                64_000L,
                null));
        ThingId b1 = batch(run, recipe, overCharged ? "Slack water B1 (again)" : "Slack water B1", "0.3");
        script.take(b1, ThingId.TEST, "1.5", "0.01", Why.TESTED, "dabs");
        script.write(new TestEvent.ColourAgreed(
                b1,
                Workshop.WEIR_ARTIST,
                paper,
                "paper",
                Wetness.WET,
                "daylight lamp",
                "the proof of last week",
                "yes"));
        print(day, run, paper, sheets, b1, recipe);
    }

    private ThingId batch(ThingId run, ThingId recipe, String name, String reducer) {
        ThingId mix = script.thing("mix");
        script.later(6);
        script.write(new InkEvent.MixStarted(mix, name, script.label(), run, recipe, null));
        script.cup(mix, "36.0");
        script.add(shop.can("T01"), mix, "41.6", "0.1", null);
        script.add(shop.can("T06"), mix, "5.1", "0.1", null);
        script.add(shop.can("T09"), mix, "3.2", "0.1", null);
        script.add(shop.can("T02"), mix, "13.5", "0.1", null);
        script.add(shop.can("mag"), mix, "0.3", "0.1", null);
        script.add(shop.can("reducer"), mix, reducer, "0.1", null);
        script.write(new InkEvent.Worked(mix, 6 * 60_000L, null));
        return mix;
    }

    private void print(LocalDate day, ThingId run, ThingId paper, List<Sheet> sheets, ThingId b1, ThingId recipe) {
        ThingId load = script.thing("load");
        Printing press = new Printing(script, run, List.of(new Load(load, "", null))).pace(340);
        script.write(new ShelfEvent.ToolCleaned(shop.tool("roller 25"), null));
        press.start(shop.tool("roller 25"), paper, Surface.FLAT, null, null);
        press.noted("fresh", "20.1", "52", null);
        press.charge(b1, 0, "20.00", "0.01");
        for (int i = 0; i < 3; i++) {
            press.proof(sheets.get(PLANNED + i % 2).sheet());
        }
        ThingId b2 = b1;
        for (int pull = 1; pull <= PULLED; pull++) {
            if (pull == 6) {
                press.charge(b1, 0, "12.00", "0.01");
            } else if (pull == 14) {
                press.charge(b1, 0, "12.64", "0.01");
            } else if (pull == 20) {
                press.noted("changed", "20.9", null, null);
            } else if (pull == 23) {
                b2 = lunch(day, press, run, recipe, load, b1);
            } else if (pull == 28 || pull == 33) {
                if (overCharged) {
                    press.loadWeighed(0, pull == 28 ? "19.32" : "24.27", "0.01");
                }
                press.charge(b2, 0, overCharged ? "12.00" : "6.00", "0.01");
            }
            if (pull == 22) {
                script.at(day, 11, 44);
            }
            PressGrade grade = overCharged
                    ? pull <= 27 ? PressGrade.GOOD : PressGrade.QUERY
                    : pull <= 22 ? PressGrade.GOOD : pull <= 27 ? PressGrade.QUERY : PressGrade.SPOILED;
            ThingId sheet = sheets.get(pull - 1).sheet();
            press.pull(
                    sheet,
                    PullMode.EDITION,
                    passes(pull),
                    grade,
                    grade == PressGrade.SPOILED ? List.of("tint", "filling in") : List.of());
            if (pull % 5 == 0) {
                press.matched(
                        sheet,
                        pull <= 22 ? Match.MATCH : Match.DARKER,
                        pull <= 23 || overCharged ? Margin.CLEAN : Margin.TINT);
                press.measured(sheet, "margin tint", tint(pull), "density", "lower margin");
            }
        }
        press.noted(null, "22.3", null, overCharged ? "looks heavy" : "stopped: open areas carry ink");
        press.loadWeighed(0, overCharged ? "30.39" : "14.80", "0.01");
        press.washUp(0, overCharged ? "30.39" : "14.80", "0.01");
        press.cleanUp();
        wrap(b1, "drawer 6");
        wrap(b2, "drawer 6, holds tack reducer");
        script.at(day.plusDays(1), 10, 0);
        for (int pull = 1; pull <= PULLED; pull++) {
            press.measured(
                    sheets.get(pull - 1).sheet(),
                    "solid density",
                    Script.decimal(density(pull) + script.noise(0.03), 2),
                    null,
                    "centre");
        }
    }

    private ThingId lunch(LocalDate day, Printing press, ThingId run, ThingId recipe, ThingId load, ThingId b1) {
        script.at(day, 11, 52);
        press.loadWeighed(0, "14.00", "0.01");
        script.write(new ShelfEvent.VesselWeighed(b1, 53_860, 36_000L, 10, "53.86 in the cup of 36.00"));
        script.at(day, 11, 58);
        if (!overCharged) {
            script.write(new LogEvent.Warned(
                    "ten-times-the-recipe", List.of(recipe), Map.of("planned", "0.3 g", "entered", "3.0 g"), true));
            script.write(new LogEvent.Warned(
                    "above-the-limit",
                    List.of(shop.material("reducer")),
                    Map.of("share", "4.5 %", "limit", "3 %"),
                    true));
        }
        ThingId b2 = batch(
                run, recipe, overCharged ? "Slack water B2 (again)" : "Slack water B2", overCharged ? "0.3" : "3.0");
        script.at(day, 12, 5);
        script.write(new PressEvent.Paused(run, true, "lunch"));
        script.at(day, 12, 50);
        script.write(new PressEvent.Resumed(run, null));
        script.write(new PressEvent.Noted(run, null, new BigDecimal("21.6"), null, null, null, null, null));
        press.charge(b2, 0, overCharged ? "12.00" : "6.00", "0.01");
        return b2;
    }

    private void wrap(ThingId mix, String place) {
        ThingId packet = script.thing("packet");
        script.rest(mix, packet, Why.WRAPPED, null);
        script.write(new InkEvent.Wrapped(packet, script.label(), place, null));
    }

    private int passes(int pull) {
        return overCharged || pull <= 22 ? 7 : pull <= 27 ? 6 : 5;
    }

    private static BigDecimal tint(int pull) {
        return pull <= 20 ? new BigDecimal("0.00") : pull <= 27 ? new BigDecimal("0.03") : new BigDecimal("0.06");
    }

    private double density(int pull) {
        return pull <= 22 ? 1.02 : pull <= 27 ? 1.11 : pull <= 32 ? 1.175 : 1.22;
    }
}
