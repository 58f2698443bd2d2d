package slabside.bench;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import slabside.event.Actor;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.LogTrouble;
import slabside.measure.Amount;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.studio.Studio;

/** How long the audit of a large edition takes: 8 runs of 120 pulls, each read and looked through, in a log of any size. */
final class AuditTimed {
    private static final int RUNS = 8;
    private static final int SHEETS = 120;
    private static final int CHARGE_EVERY = 12;
    private static final int ASKED = 12;
    private static final Actor BENCH = new Actor(Studio.SOMEBODY, "bench");

    private AuditTimed() {}

    /** Times of asking in ns, the first one first, the others sorted. */
    static long[] measure(Studio studio, ThingId edition) {
        Calculator audit = studio.host().calculator("what-went-wrong");
        long[] times = new long[ASKED];
        for (int i = 0; i < ASKED; i++) {
            long start = System.nanoTime();
            Answer answer = studio.host().ask(audit, Map.of("run", edition.text()));
            times[i] = System.nanoTime() - start;
            if (answer.blocks().stream()
                    .noneMatch(block ->
                            block instanceof Answer.Table table && table.rows().size() == RUNS)) {
                throw new LogTrouble("the audit did not tell of " + RUNS + " runs");
            }
        }
        Arrays.sort(times, 1, ASKED);
        return times;
    }

    /** Writes such an edition down. */
    static ThingId printed(Studio studio) {
        Random random = new Random(12);
        ThingId edition = studio.ids().thing("edition");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < SHEETS; i++) {
            sheets.add(new Sheet(studio.ids().thing("sheet"), String.format(Locale.ROOT, "AU-%03d", i + 1)));
        }
        write(
                studio,
                new EditionEvent.Planned(
                        edition, "audited", null, 100, 300_000L, 400_000L, null, null, null, null, null, null, null),
                new PaperEvent.Torn(studio.ids().thing("paper"), sheets, null, null, edition, null));
        for (int order = 1; order <= RUNS; order++) {
            run(studio, edition, order, sheets, random);
        }
        List<StudioEvent> looked = new ArrayList<>();
        for (int i = 0; i < SHEETS; i++) {
            looked.add(new EditionEvent.Curated(
                    edition,
                    sheets.get(i).sheet(),
                    random.nextInt(8) == 0 ? CuratedAs.SECOND : CuratedAs.GOOD,
                    i % 8 == 0 ? "scum" : null));
        }
        write(studio, looked.toArray(new StudioEvent[0]));
        studio.views().catchUp();
        return edition;
    }

    private static void run(Studio studio, ThingId edition, int order, List<Sheet> sheets, Random random) {
        ThingId run = studio.ids().thing("run");
        ThingId load = studio.ids().thing("load");
        ThingId mix = studio.ids().thing("mix");
        List<StudioEvent> events = new ArrayList<>();
        events.add(new EditionEvent.RunPlanned(run, edition, order, Surface.FLAT, null, null, null));
        events.add(new InkEvent.MixStarted(mix, "audited " + order, null, run, null, null));
        for (int can = 1; can <= 6; can++) {
            events.add(added("can-" + can, mix, Why.ADDED, can == 1 ? "90.0" : "4.0"));
        }
        events.add(new PressEvent.RunStarted(
                run, List.of(new Load(load, "", null)), null, null, Surface.FLAT, null, null));
        events.add(added(mix.text(), load, Why.CHARGED, "12.0"));
        for (int i = 0; i < SHEETS; i++) {
            if (i > 0 && i % CHARGE_EVERY == 0) {
                events.add(added(mix.text(), load, Why.CHARGED, "4.8"));
            }
            if (i % 30 == 29) {
                events.add(new PressEvent.Noted(
                        run, "changed", new BigDecimal("2" + i % 3 + ".5"), null, null, null, null, null));
            }
            ThingId sheet = sheets.get(i).sheet();
            events.add(new PressEvent.Pulled(
                    run,
                    sheet,
                    PullMode.EDITION,
                    null,
                    6 + random.nextInt(2),
                    random.nextInt(20) == 0 ? PressGrade.SPOILED : PressGrade.GOOD,
                    List.of(),
                    null));
            events.add(new PressEvent.Measured(
                    run,
                    sheet,
                    "solid density",
                    BigDecimal.valueOf(100 + Math.round(2 * random.nextGaussian()), 2),
                    null,
                    null));
        }
        events.add(new PressEvent.CleanedUp(run, null));
        write(studio, events.toArray(new StudioEvent[0]));
    }

    private static StudioEvent added(String from, ThingId to, Why why, String grams) {
        return new InkEvent.Moved(new ThingId(from), to, Amount.net("grams", grams), why, null);
    }

    private static void write(Studio studio, StudioEvent... events) {
        for (int from = 0; from < events.length; from += 200) {
            studio.write(BENCH, Arrays.asList(events).subList(from, Math.min(events.length, from + 200)));
        }
    }
}
