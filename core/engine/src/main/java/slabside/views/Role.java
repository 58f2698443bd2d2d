package slabside.views;

import java.util.ArrayList;
import java.util.List;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.ShelfEvent;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;

/** What an event is to a thing it concerns; by this a fold asks for just the events it reads. */
public enum Role {
    /** Ink left this vessel. */
    OUT,
    /** Ink came into this vessel. */
    IN,
    /** The vessel was weighed or found empty. */
    OBSERVED,
    /** Started, pulled or cleaned up: what a run's loads are folded from. */
    PRESS,
    /** Says what the thing is and what it is called. */
    DEFINES,
    /** A test, a remark or anything else worth telling about the thing. */
    NOTED;

    /** One thing an event plays a part for. */
    public record Part(ThingId thing, Role role) {}

    /** The parts that an event plays; accounts outside the studio are left out. */
    public static List<Part> parts(StudioEvent event) {
        List<Part> parts = new ArrayList<>();
        if (event instanceof InkEvent.Moved moved) {
            add(parts, OUT, moved.from());
            add(parts, IN, moved.to());
        } else if (event instanceof ShelfEvent.CanReceived received) {
            add(parts, IN, received.can());
            add(parts, DEFINES, received.can());
        } else if (event instanceof ShelfEvent.VesselWeighed weighed) {
            add(parts, OBSERVED, weighed.vessel());
        } else if (event instanceof ShelfEvent.CanFinished finished) {
            add(parts, OBSERVED, finished.can());
        } else if (event instanceof PressEvent press) {
            press(parts, press);
        } else {
            definitions(parts, event);
        }
        return parts;
    }

    private static void press(List<Part> parts, PressEvent event) {
        if (event instanceof PressEvent.RunStarted started) {
            add(parts, PRESS, started.run());
            add(parts, DEFINES, started.run());
            if (started.roller() != null) {
                add(parts, NOTED, started.roller());
            }
            started.loads().forEach(load -> {
                add(parts, PRESS, load.load());
                add(parts, DEFINES, load.load());
            });
        } else if (event instanceof PressEvent.Pulled pulled) {
            add(parts, PRESS, pulled.run());
        } else if (event instanceof PressEvent.CleanedUp cleaned) {
            add(parts, PRESS, cleaned.run());
        } else {
            // Each of the others names its run first.
            slabside.event.EventCodec.about(event).stream().limit(1).forEach(run -> add(parts, NOTED, run));
        }
    }

    private static void definitions(List<Part> parts, StudioEvent event) {
        if (event instanceof ShelfEvent.MaterialListed e) {
            add(parts, DEFINES, e.material());
        } else if (event instanceof ShelfEvent.ToolListed e) {
            add(parts, DEFINES, e.tool());
        } else if (event instanceof ShelfEvent.ToolCleaned e) {
            add(parts, NOTED, e.tool());
        } else if (event instanceof ShelfEvent.CanOpened e) {
            add(parts, NOTED, e.can());
        } else if (event instanceof ShelfEvent.VesselInspected e) {
            add(parts, NOTED, e.vessel());
        } else if (event instanceof InkEvent.MixStarted e) {
            add(parts, DEFINES, e.mix());
        } else if (event instanceof InkEvent.Wrapped e) {
            add(parts, DEFINES, e.packet());
        } else if (event instanceof InkEvent.Unwrapped e) {
            add(parts, NOTED, e.packet());
        } else if (event instanceof InkEvent.Worked e) {
            add(parts, NOTED, e.vessel());
        } else if (event instanceof InkEvent.Named e) {
            add(parts, DEFINES, e.thing());
        } else if (event instanceof InkEvent.RecipePlanned e) {
            add(parts, DEFINES, e.recipe());
        } else if (event instanceof StoneEvent.Listed e) {
            add(parts, DEFINES, e.stone());
        } else if (event instanceof StoneEvent.Treated e) {
            add(parts, NOTED, e.stone());
        } else if (event instanceof StoneEvent.Inspected e) {
            add(parts, NOTED, e.stone());
        } else if (event instanceof StoneEvent.Disposed e) {
            add(parts, NOTED, e.stone());
        } else if (event instanceof PaperEvent.Received e) {
            add(parts, DEFINES, e.lot());
        } else if (event instanceof PaperEvent.Torn e) {
            e.sheets().forEach(sheet -> add(parts, DEFINES, sheet.sheet()));
            add(parts, NOTED, e.lot());
            if (e.edition() != null) {
                add(parts, NOTED, e.edition());
            }
        } else if (event instanceof PaperEvent.Conditioned e) {
            add(parts, NOTED, e.lot());
        } else if (event instanceof PaperEvent.LaidOn e) {
            e.sheets().forEach(sheet -> add(parts, NOTED, sheet));
            add(parts, NOTED, e.lot());
            if (e.run() != null) {
                add(parts, NOTED, e.run());
            }
        } else if (event instanceof PaperEvent.Spoiled e) {
            e.sheets().forEach(sheet -> add(parts, NOTED, sheet));
        } else if (event instanceof EditionEvent.Planned e) {
            add(parts, DEFINES, e.edition());
            if (e.earlier() != null) {
                add(parts, NOTED, e.earlier());
            }
        } else if (event instanceof EditionEvent.RunPlanned e) {
            add(parts, DEFINES, e.run());
            add(parts, NOTED, e.edition());
            if (e.stone() != null) {
                add(parts, NOTED, e.stone());
            }
        } else if (event instanceof EditionEvent.OkSigned e) {
            add(parts, NOTED, e.edition());
        } else if (event instanceof EditionEvent.Curated e) {
            add(parts, NOTED, e.edition());
        } else if (event instanceof EditionEvent) {
            // Each of the others names its edition first.
            slabside.event.EventCodec.about(event).stream().limit(1).forEach(edition -> add(parts, NOTED, edition));
        } else if (event instanceof TestEvent.StrengthJudged e) {
            add(parts, NOTED, e.lot());
        } else if (event instanceof TestEvent.DrawdownMade e) {
            add(parts, DEFINES, e.drawdown());
            add(parts, NOTED, e.vessel());
        } else if (event instanceof TestEvent) {
            slabside.event.EventCodec.about(event).stream().limit(1).forEach(thing -> add(parts, NOTED, thing));
        } else if (event instanceof LogEvent.SameThing e) {
            add(parts, NOTED, e.keep());
        } else if (event instanceof LogEvent.Annotated e && e.thing() != null) {
            add(parts, NOTED, e.thing());
        } else if (event instanceof LogEvent.AnswerKept e && e.thing() != null) {
            add(parts, NOTED, e.thing());
        } else if (event instanceof slabside.event.PluginEvent e) {
            e.things().forEach(thing -> add(parts, NOTED, thing));
        } else if (event instanceof LogEvent.Attached e && e.thing() != null) {
            add(parts, NOTED, e.thing());
        }
    }

    private static void add(List<Part> parts, Role role, ThingId thing) {
        if (!thing.isOutside()) {
            parts.add(new Part(thing, role));
        }
    }
}
