package slabside.demo;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.CuratedAs;
import slabside.event.Dryness;
import slabside.event.EditionEvent;
import slabside.event.ImpressionKind;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.MatrixEnd;
import slabside.event.MatrixKind;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StatedFact;
import slabside.event.Stiffness;
import slabside.event.StoneEvent;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.event.Wetness;
import slabside.event.Why;

/** Scenario A: "Tidewrack, Four Fathoms", sixty sheets through five runs, from graining to release. */
final class Tidewrack {
    private static final int SHEETS = 60;

    private final Script script;
    private final Workshop shop;
    private final ThingId edition;
    private final ThingId paper;
    private final List<Sheet> sheets = new ArrayList<>();
    private final List<Sheet> proofs = new ArrayList<>();
    private final List<ThingId> going = new ArrayList<>();
    private final List<ThingId> stones = new ArrayList<>();

    Tidewrack(Script script, Workshop shop) {
        this.script = script;
        this.shop = shop;
        this.edition = script.thing("edition");
        this.paper = script.thing("paper");
    }

    /** What one step puts into a mix; several portions for powder. */
    private record Step(
            String can, List<String> grams, @Nullable String words) {
        static Step of(String can, String... grams) {
            return new Step(can, List.of(grams), null);
        }

        Step because(String why) {
            return new Step(can, grams, why);
        }
    }

    void write(LocalDate day) {
        script.by(Workshop.PRINTER);
        script.at(day, 9, 0);
        plan();
        run1(day.plusDays(2));
        run2(day.plusDays(5));
        run3(day.plusDays(9));
        run4(day.plusDays(15));
        run5(day.plusDays(19));
        finish(day.plusDays(27));
    }

    private final List<ThingId> runs = new ArrayList<>();
    private static final Map<StatedFact, String> STATED = new EnumMap<>(Map.of(
            StatedFact.PROCESS, "hand lithography from three stones and two plates",
            StatedFact.WORKSHOP, "Harrowmere Stone Room",
            StatedFact.MASTER_MADE_BY, "the artist drew all five",
            StatedFact.ARTISTS_APPROVAL, "signed the OK proof",
            StatedFact.LIMITED, "40 numbered impressions"));
    private static final List<String> DRAWN_WITH = List.of(
            "tusche, one flat",
            "tusche in water, washes",
            "tusche, one flat",
            "hard and soft crayon",
            "pen and crayon");

    private void plan() {
        script.write(new PaperEvent.Received(
                paper, "cotton 250 g, 50 × 65", 100, 500_000L, 650_000L, new BigDecimal("250"), "long", null));
        script.write(new EditionEvent.Planned(
                edition,
                "Tidewrack, Four Fathoms",
                "Orla Fenwether",
                40,
                380_000L,
                520_000L,
                500_000L,
                650_000L,
                paper,
                8,
                12,
                null,
                "40 numbered, 4 AP, 2 PP, archive and presentation"));
        for (int i = 1; i <= SHEETS; i++) {
            sheets.add(new Sheet(script.thing("sheet"), String.format(Locale.ROOT, "TD-%02d", i)));
        }
        for (int i = 1; i <= 5; i++) {
            proofs.add(new Sheet(script.thing("sheet"), String.format(Locale.ROOT, "P-%02d", i)));
        }
        script.write(new PaperEvent.Torn(paper, sheets, 500_000L, 650_000L, edition, null));
        script.write(new PaperEvent.Torn(paper, proofs, 500_000L, 650_000L, edition, null));
        sheets.forEach(sheet -> going.add(sheet.sheet()));
        Surface[] surfaces = {Surface.FLAT, Surface.WASH, Surface.BLEND, Surface.CRAYON, Surface.KEY};
        String[] names = {"the shallows", "the wash", "the blend", "the crayon", "the key"};
        for (int i = 0; i < 5; i++) {
            boolean plate = i == 0 || i == 2;
            ThingId stone = script.thing(plate ? "plate" : "stone");
            stones.add(stone);
            script.later(1);
            script.write(new StoneEvent.Listed(
                    stone,
                    plate ? MatrixKind.PLATE : MatrixKind.STONE,
                    plate ? "plate " + (i + 1) : "stone " + (11 + i),
                    plate ? 560_000L : 480_000L,
                    plate ? 760_000L : 620_000L,
                    plate ? null : "grey",
                    plate ? "plate drawer" : "rack B"));
            if (!plate) {
                script.later(40);
                script.write(new StoneEvent.Treated(
                        stone, Treatment.GRAINED, null, "80, 120, 180, three rounds each", null));
            }
            script.later(20);
            script.write(new StoneEvent.Treated(stone, Treatment.DRAWN, null, DRAWN_WITH.get(i), null));
            script.later(20);
            script.write(new StoneEvent.Treated(stone, Treatment.ETCHED, null, null, null));
            script.write(new StoneEvent.Treated(stone, Treatment.GUMMED, null, null, null));
            ThingId run = script.thing("run");
            runs.add(run);
            script.write(new EditionEvent.RunPlanned(
                    run, edition, i + 1, surfaces[i], stone, "run " + (i + 1) + ", " + names[i], null));
        }
    }

    private ThingId mix(int run, String name, List<Step> steps) {
        ThingId mix = script.thing("mix");
        script.later(5);
        script.write(new InkEvent.MixStarted(mix, name, script.label(), runs.get(run), null, null));
        script.cup(mix, "35.2");
        for (Step step : steps) {
            for (String grams : step.grams) {
                script.add(shop.can(step.can), mix, grams, "0.1", step.words);
                if (step.grams.size() > 1) {
                    script.later(2);
                    script.write(new InkEvent.Worked(mix, 2 * 60_000L, null));
                }
            }
        }
        script.later(4);
        script.write(new InkEvent.Worked(mix, 6 * 60_000L, null));
        return mix;
    }

    private void agreed(ThingId mix, String words) {
        script.later(5);
        script.write(new TestEvent.ColourAgreed(
                mix,
                Workshop.ARTIST,
                paper,
                "the runs before",
                Wetness.WET,
                "daylight lamp over the slab",
                "her study",
                words));
    }

    /** Opens the stone, pulls newsprint and proofs, then every sheet that is there. */
    private Printing open(int run, ThingId roller, List<Load> loads, Surface surface, @Nullable Long window) {
        script.later(5);
        script.write(new StoneEvent.Treated(stones.get(run), Treatment.OPENED, null, null, null));
        script.write(new StoneEvent.Treated(stones.get(run), Treatment.WASHED_OUT, null, null, null));
        script.write(new StoneEvent.Treated(stones.get(run), Treatment.ROLLED_UP, null, null, null));
        script.write(new slabside.event.ShelfEvent.ToolCleaned(roller, null));
        Printing press = new Printing(script, runs.get(run), loads);
        press.start(roller, paper, surface, window, null);
        press.noted("fresh", "20.5", "54", null);
        return press;
    }

    private void edition(
            Printing press,
            ThingId mix,
            double density,
            Set<Integer> spoiled,
            String fault,
            Map<Integer, String> charges) {
        int number = 0;
        List<ThingId> left = new ArrayList<>();
        for (ThingId sheet : going) {
            number++;
            if (charges.containsKey(number)) {
                press.charge(mix, 0, charges.get(number), "0.1");
            }
            boolean bad = spoiled.contains(number);
            press.pull(
                    sheet,
                    PullMode.EDITION,
                    6,
                    bad ? PressGrade.SPOILED : PressGrade.GOOD,
                    bad ? List.of(fault) : List.of());
            if (number % 5 == 0) {
                press.measured(
                        sheet,
                        "solid density",
                        Script.decimal(density + script.noise(0.008), 2),
                        null,
                        "control patch");
                press.matched(sheet, Match.MATCH, Margin.CLEAN);
            }
            if (!bad) {
                left.add(sheet);
            }
        }
        going.clear();
        going.addAll(left);
    }

    private void close(int run, Printing press, ThingId mix, String place) {
        press.cleanUp();
        script.write(new StoneEvent.Treated(stones.get(run), Treatment.GUMMED, null, null, null));
        script.write(new StoneEvent.Treated(stones.get(run), Treatment.CLOSED, null, null, null));
        wrap(mix, place);
        script.later(60 * 20);
        script.write(new TestEvent.DrynessJudged(runs.get(run), null, Dryness.RUB_DRY, "thumb on the margin bar"));
    }

    private void wrap(ThingId mix, String place) {
        ThingId packet = script.thing("packet");
        script.rest(mix, packet, Why.WRAPPED, null);
        script.write(new InkEvent.Wrapped(packet, script.label(), place, null));
    }

    private void run1(LocalDate day) {
        script.at(day, 9, 15);
        ThingId mix = mix(
                0,
                "Shallows green-yellow",
                List.of(
                        Step.of("T01", "58.5"),
                        Step.of("T02", "18.0"),
                        Step.of("T03", "9.0"),
                        Step.of("T04", "3.6"),
                        Step.of("mag", "0.5"),
                        Step.of("reducer", "0.4")));
        script.take(mix, ThingId.TEST, "3.0", "0.1", Why.TESTED, "dabs");
        agreed(mix, "sunny enough");
        Printing press =
                open(0, shop.tool("roller 15"), List.of(new Load(script.thing("load"), "", null)), Surface.FLAT, null);
        press.charge(mix, 0, "20.0", "0.1");
        press.newsprint(1);
        press.proof(proofs.get(0).sheet());
        press.proof(proofs.get(1).sheet());
        edition(press, mix, 0.62, Set.of(41), "lap line", Map.of(15, "9.5", 30, "9.5", 45, "9.5"));
        press.washUp(0, "22.0", "0.1");
        close(0, press, mix, "drawer 4");
    }

    private void run2(LocalDate day) {
        script.at(day, 9, 40);
        ThingId mix = mix(
                1,
                "Wash rose",
                List.of(
                        Step.of("T01", "45.0"),
                        Step.of("T05", "4.8"),
                        Step.of("T03", "2.0"),
                        Step.of("T01", "6.0").because("too strong"),
                        Step.of("T03", "0.4").because("bluish"),
                        Step.of("mag", "0.4", "0.4", "0.4"),
                        Step.of("oil", "0.6")));
        script.take(mix, ThingId.TEST, "4.0", "0.1", Why.TESTED, "dabs and a drawdown");
        agreed(mix, "as thin as skin");
        Printing press =
                open(1, shop.tool("roller 22"), List.of(new Load(script.thing("load"), "", null)), Surface.WASH, null);
        press.charge(mix, 0, "15.0", "0.1");
        press.newsprint(2);
        press.proof(proofs.get(0).sheet());
        press.proof(proofs.get(1).sheet());
        edition(press, mix, 0.38, Set.of(7, 38), "hickey", Map.of(16, "4.0", 31, "4.0", 46, "4.0"));
        press.washUp(0, "18.0", "0.1");
        close(1, press, mix, "drawer 4");
    }

    private void run3(LocalDate day) {
        script.at(day, 8, 50);
        ThingId a = mix(
                2,
                "Blend A, sea green",
                List.of(
                        Step.of("T01", "37.8"),
                        Step.of("T07", "2.7"),
                        Step.of("T06", "1.8"),
                        Step.of("T02", "1.8"),
                        Step.of("mag", "0.3", "0.3", "0.3")));
        script.take(a, ThingId.TEST, "2.0", "0.1", Why.TESTED, "dabs");
        ThingId b = mix(
                2,
                "Blend B, dusk violet",
                List.of(
                        Step.of("T01", "36.0"),
                        Step.of("T08", "2.2"),
                        Step.of("T06", "2.3"),
                        Step.of("T09", "0.9"),
                        Step.of("T02", "2.7"),
                        Step.of("mag", "0.3", "0.3", "0.3")));
        script.take(b, ThingId.TEST, "2.0", "0.1", Why.TESTED, "dabs");
        script.write(new TestEvent.Compared(a, b, Stiffness.SAME, null, "side by side under the knife"));
        agreed(a, "with B, over the wash");
        ThingId roller = shop.tool("roller 20");
        List<Load> loads = List.of(
                new Load(script.thing("load"), "left, A", null), new Load(script.thing("load"), "right, B", null));
        Printing press = open(2, roller, loads, Surface.BLEND, 380_000L);
        both(press, a, b, "7.0");
        press.newsprint(2);
        press.proof(proofs.get(0).sheet());
        press.proof(proofs.get(2).sheet());
        press.proof(proofs.get(3).sheet());
        press.proof(proofs.get(4).sheet());
        both(press, a, b, "1.0");
        Set<Integer> feed = Set.of(6, 12, 18, 24, 36, 42, 48, 54);
        Set<Integer> spoiled = Set.of(1, 2, 3, 31);
        List<ThingId> left = new ArrayList<>();
        int number = 0;
        double midpoint = 190;
        for (ThingId sheet : going) {
            number++;
            boolean bad = spoiled.contains(number);
            press.pull(
                    sheet,
                    PullMode.EDITION,
                    6,
                    bad ? PressGrade.SPOILED : PressGrade.GOOD,
                    !bad ? List.of() : List.of(number == 31 ? "hard edge" : "blend not yet even"));
            if (number % 5 == 0) {
                press.measured(
                        sheet,
                        "blend midpoint",
                        Script.decimal(midpoint + script.noise(1.0), 0),
                        "mm",
                        "from the left edge");
            }
            midpoint += 0.9;
            if (!bad) {
                left.add(sheet);
            }
            if (feed.contains(number)) {
                both(press, a, b, "1.0");
            }
            if (number == 30) {
                press.washUp(0, "7.1", "0.1");
                press.washUp(1, "7.0", "0.1");
                press.loadWeighed(0, "0", "0.1");
                press.loadWeighed(1, "0", "0.1");
                press.noted(null, null, null, "blend had walked; scraped and reset");
                both(press, a, b, "7.0");
                midpoint = 190;
            }
        }
        going.clear();
        going.addAll(left);
        press.washUp(0, "7.3", "0.1");
        press.washUp(1, "7.3", "0.1");
        wrap(b, "drawer 4");
        close(2, press, a, "drawer 4");
    }

    private static void both(Printing press, ThingId a, ThingId b, String grams) {
        press.charge(a, 0, grams, "0.1");
        press.charge(b, 1, grams, "0.1");
    }

    private void run4(LocalDate day) {
        script.at(day, 9, 30);
        ThingId mix = mix(
                3,
                "Crayon slate",
                List.of(
                        Step.of("T01", "46.0"),
                        Step.of("T06", "2.0"),
                        Step.of("T09", "1.0"),
                        Step.of("mag", "0.4", "0.4"),
                        Step.of("reducer", "0.2")));
        script.take(mix, ThingId.TEST, "2.5", "0.1", Why.TESTED, "dabs");
        agreed(mix, "quiet");
        Printing press = open(
                3, shop.tool("roller 22"), List.of(new Load(script.thing("load"), "", null)), Surface.CRAYON, null);
        press.charge(mix, 0, "14.0", "0.1");
        press.newsprint(2);
        press.proof(proofs.get(0).sheet());
        edition(press, mix, 0.45, Set.of(22), "scum", Map.of(16, "2.2", 31, "2.2", 46, "2.2"));
        press.washUp(0, "16.0", "0.1");
        close(3, press, mix, "drawer 5");
    }

    private void run5(LocalDate day) {
        script.at(day, 9, 10);
        ThingId mix = mix(
                4,
                "Key black-brown",
                List.of(
                        Step.of("T09", "33.0"),
                        Step.of("T10", "8.0"),
                        Step.of("T01", "2.5"),
                        Step.of("mag", "0.4", "0.3", "0.3"),
                        Step.of("drier", "0.5")));
        script.take(mix, ThingId.TEST, "2.0", "0.1", Why.TESTED, "dabs");
        agreed(mix, "warm, not blue");
        Printing press =
                open(4, shop.tool("roller 22"), List.of(new Load(script.thing("load"), "", null)), Surface.KEY, null);
        press.charge(mix, 0, "13.1", "0.1");
        press.newsprint(2);
        press.proof(proofs.get(0).sheet());
        script.later(15);
        script.write(new EditionEvent.OkSigned(edition, proofs.get(0).sheet(), Workshop.ARTIST, "this one"));
        edition(press, mix, 1.38, Set.of(11, 29), "filling in", Map.of(18, "2.8", 35, "2.8"));
        press.washUp(0, "15.0", "0.1");
        close(4, press, mix, "drawer 5, holds drier");
    }

    private void finish(LocalDate day) {
        script.at(day, 10, 0);
        int seen = 0;
        List<ThingId> good = new ArrayList<>();
        for (ThingId sheet : going) {
            seen++;
            boolean destroyed = seen == 9 || seen == 33;
            script.secondsLater(40);
            script.write(new EditionEvent.Curated(
                    edition,
                    sheet,
                    destroyed ? CuratedAs.DESTROYED : CuratedAs.GOOD,
                    destroyed ? "thumb mark in the margin" : null));
            if (!destroyed) {
                good.add(sheet);
            }
        }
        List<ThingId> torn =
                going.stream().filter(sheet -> !good.contains(sheet)).toList();
        script.write(new EditionEvent.Destroyed(edition, torn, Workshop.SPONGER, "torn up"));
        numbered(good);
        script.later(30);
        script.write(new EditionEvent.Signed(edition, good, Workshop.ARTIST, "lower right", "pencil"));
        script.write(new EditionEvent.Chopped(edition, good, "Harrowmere Stone Room"));
        script.write(new EditionEvent.Finished(edition, good, "margins cleaned, interleaved"));
        script.later(20);
        script.write(new EditionEvent.Released(edition, good.subList(0, 10), Workshop.ARTIST, "with the artist"));
        MatrixEnd[] ends = {
            MatrixEnd.DEFACED, MatrixEnd.GROUND_OFF, MatrixEnd.DEFACED, MatrixEnd.GROUND_OFF, MatrixEnd.DEFACED
        };
        for (int i = 0; i < 5; i++) {
            if (i == 4) {
                script.later(10);
                script.write(new PressEvent.Pulled(
                        runs.get(4), null, PullMode.CANCELLATION, null, 6, PressGrade.GOOD, List.of(), null));
            }
            script.later(10);
            script.write(new StoneEvent.Disposed(
                    stones.get(i),
                    ends[i],
                    ends[i] == MatrixEnd.GROUND_OFF ? "grained off" : "scored across",
                    Workshop.SPONGER,
                    i == 4));
        }
        script.later(5);
        for (var each : STATED.entrySet()) {
            script.write(new EditionEvent.Stated(edition, each.getKey(), each.getValue()));
        }
        script.write(new EditionEvent.Closed(edition, null));
    }

    private void numbered(List<ThingId> good) {
        for (int i = 0; i < good.size(); i++) {
            ImpressionKind kind = i < 40
                    ? ImpressionKind.NUMBERED
                    : i < 44
                            ? ImpressionKind.ARTISTS_PROOF
                            : i < 46
                                    ? ImpressionKind.PRINTERS_PROOF
                                    : i == 46 ? ImpressionKind.ARCHIVE_COPY : ImpressionKind.PRESENTATION_PROOF;
            Integer number = i < 40
                    ? Integer.valueOf(i + 1)
                    : i < 44 ? Integer.valueOf(i - 39) : i < 46 ? Integer.valueOf(i - 43) : null;
            Integer of =
                    i < 40 ? Integer.valueOf(40) : i < 44 ? Integer.valueOf(4) : i < 46 ? Integer.valueOf(2) : null;
            script.secondsLater(25);
            script.write(new EditionEvent.Numbered(edition, good.get(i), kind, number, of, null));
        }
        script.write(
                new EditionEvent.Numbered(edition, proofs.get(0).sheet(), ImpressionKind.OK_PROOF, null, null, null));
        for (int i = 2; i < 5; i++) {
            script.write(new EditionEvent.Numbered(
                    edition, proofs.get(i).sheet(), ImpressionKind.COLOUR_TRIAL_PROOF, i - 1, 3, null));
        }
    }
}
