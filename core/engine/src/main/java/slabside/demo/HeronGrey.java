package slabside.demo;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Length;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.Stiffness;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Wetness;
import slabside.event.Why;

/** Scenario C: a grey mixed two years ago, with ink set aside before the last additions. */
final class HeronGrey {
    private final Script script;
    private final Workshop shop;

    HeronGrey(Script script, Workshop shop) {
        this.script = script;
        this.shop = shop;
    }

    void write(LocalDate day) {
        script.by(Workshop.PRINTER);
        script.at(day, 9, 20);
        ThingId edition = script.thing("edition");
        script.write(new EditionEvent.Planned(
                edition,
                "Heron, Standing Water",
                "Orla Fenwether",
                50,
                420_000L,
                560_000L,
                500_000L,
                650_000L,
                null,
                null,
                null,
                null,
                "one large flat"));
        ThingId run = script.thing("run");
        script.write(new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, "run 1, the water", null));
        ThingId paper = script.thing("paper");
        script.write(
                new PaperEvent.Received(paper, "mould-made 250 g, cotton", 70, 560_000L, 760_000L, null, "long", null));
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 57; i++) {
            sheets.add(new Sheet(script.thing("sheet"), String.format(java.util.Locale.ROOT, "HS-%02d", i)));
        }
        script.write(new PaperEvent.Torn(paper, sheets, 500_000L, 650_000L, edition, null));

        ThingId mix = script.thing("mix");
        script.later(15);
        script.write(new InkEvent.MixStarted(mix, "Heron grey HG-2", script.label(), run, null, null));
        script.cup(mix, "38.4");
        script.add(shop.can("old base"), mix, "80.0", "0.1", null);
        script.add(shop.can("old white"), mix, "22.0", "0.1", null);
        script.add(shop.can("old blue"), mix, "3.0", "0.1", null);
        script.add(shop.can("old black"), mix, "2.0", "0.1", null);
        script.later(4);
        script.write(new InkEvent.Worked(mix, 6 * 60_000L, null));
        script.add(shop.can("old ochre"), mix, "1.5", "0.1", "cold");
        script.add(shop.can("old base"), mix, "20.0", "0.1", "dark");
        script.add(shop.can("old white"), mix, "6.0", "0.1", "dark");
        script.later(5);
        script.write(new InkEvent.Worked(mix, 5 * 60_000L, null));
        ThingId aside = script.thing("packet");
        script.take(mix, aside, "24.5", "0.1", Why.SET_ASIDE, "batch too large for the slab");
        script.write(new InkEvent.Wrapped(aside, script.label(), "cold cupboard", null));
        script.add(shop.can("old rubine"), mix, "0.6", "0.1", "greenish");
        script.add(shop.can("reducer"), mix, "0.9", "0.1", null);
        script.add(shop.can("mag"), mix, "0.7", "0.1", null);
        script.later(6);
        script.write(new InkEvent.Worked(mix, 8 * 60_000L, null));
        script.take(mix, ThingId.TEST, "1.2", "0.1", Why.TESTED, "dabs and a drawdown");
        script.write(new TestEvent.Compared(mix, shop.can("old black"), Stiffness.SOFTER, Length.SHORTER, null));
        script.write(new TestEvent.DrawdownMade(
                script.thing("drawdown"), mix, paper, "white", null, "on the edition paper, kept in the swatch book"));
        script.later(10);
        script.write(new TestEvent.ColourAgreed(
                mix,
                Workshop.ARTIST,
                paper,
                "paper",
                Wetness.WET,
                "north window, overcast",
                "her gouache sketch",
                "a shade warmer than the sketch, leave it"));

        ThingId load = script.thing("load");
        Printing press = new Printing(script, run, List.of(new Load(load, "", null)));
        script.write(new ShelfEvent.ToolCleaned(shop.tool("roller 25"), null));
        press.start(shop.tool("roller 25"), paper, Surface.FLAT, null, null);
        press.charge(mix, 0, "20.0", "0.1");
        press.newsprint(2);
        press.proof(sheets.get(0).sheet());
        for (int i = 1; i <= 57; i++) {
            if (i % 10 == 1 && i > 1) {
                press.charge(mix, 0, "14.4", "0.1");
            }
            press.pull(sheets.get(i - 1).sheet(), PullMode.EDITION, 7, PressGrade.GOOD, List.of());
        }
        press.washUp(0, "20.0", "0.1");
        press.cleanUp();
        ThingId kept = script.thing("packet");
        script.rest(mix, kept, Why.WRAPPED, null);
        script.write(new InkEvent.Wrapped(kept, script.label(), "cold cupboard, drawer 2", "no drier"));
        script.write(new slabside.event.ShelfEvent.VesselWeighed(kept, 19_000, 0L, 100, "19.0 g"));
        script.at(day.plusDays(40), 14, 5);
        script.rest(aside, ThingId.ELSEWHERE, Why.USED_ELSEWHERE, "let down for a proof of another job");
    }
}
