package slabside.demo;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.event.Load;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.ShelfEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;

/** One run at the press, pull after pull, as the scripts tell it. */
final class Printing {
    private final Script script;
    private final ThingId run;
    private final List<Load> loads;
    private int secondsAPull = 150;

    Printing(Script script, ThingId run, List<Load> loads) {
        this.script = script;
        this.run = run;
        this.loads = loads;
    }

    Printing pace(int seconds) {
        secondsAPull = seconds;
        return this;
    }

    void start(ThingId roller, ThingId paper, Surface surface, @Nullable Long windowUm, @Nullable String words) {
        script.later(10);
        script.write(new PressEvent.RunStarted(run, loads, roller, paper, surface, windowUm, words));
    }

    void charge(ThingId mix, int load, String grams, String step) {
        script.take(mix, loads.get(load).load(), grams, step, Why.CHARGED, null);
    }

    void newsprint(int count) {
        for (int i = 0; i < count; i++) {
            pull(null, PullMode.NEWSPRINT, 6, PressGrade.GOOD, List.of());
        }
    }

    void proof(ThingId sheet) {
        pull(sheet, PullMode.PROOF, 6, PressGrade.GOOD, List.of());
    }

    void pull(@Nullable ThingId sheet, PullMode mode, int passes, PressGrade grade, List<String> faults) {
        script.secondsLater(secondsAPull);
        script.write(new PressEvent.Pulled(run, sheet, mode, null, passes, grade, faults, null));
    }

    void matched(ThingId sheet, Match match, Margin margin) {
        script.secondsLater(10);
        script.write(new PressEvent.Matched(run, sheet, match, margin));
    }

    void measured(
            @Nullable ThingId sheet, String quantity, BigDecimal value, @Nullable String unit, @Nullable String place) {
        script.secondsLater(5);
        script.write(new PressEvent.Measured(run, sheet, quantity, value, unit, place));
    }

    void noted(@Nullable String water, @Nullable String celsius, @Nullable String humidity, @Nullable String words) {
        script.secondsLater(20);
        script.write(new PressEvent.Noted(
                run,
                water,
                celsius == null ? null : new BigDecimal(celsius),
                humidity == null ? null : new BigDecimal(humidity),
                null,
                null,
                null,
                words));
    }

    /** The ink scraped together from slab and roller was weighed. */
    void loadWeighed(int load, String grams, String step) {
        script.later(1);
        script.write(new ShelfEvent.VesselWeighed(
                loads.get(load).load(),
                slabside.measure.Mass.ofGrams(grams).milligrams(),
                0L,
                slabside.measure.Mass.ofGrams(step).milligrams(),
                grams + " g on slab and roller"));
    }

    void washUp(int load, String grams, String step) {
        script.take(loads.get(load).load(), ThingId.WASH_UP, grams, step, Why.WASHED_UP, null);
    }

    void cleanUp() {
        script.later(12);
        script.write(new PressEvent.CleanedUp(run, null));
        script.later(5);
        script.write(new PressEvent.Racked(run, null));
    }
}
