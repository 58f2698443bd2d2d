package slabside.views;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.ShelfEvent;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;

/**
 * A thing as lists show it.
 *
 * @param kind such as "can", "mix", "packet", "material", "run"
 * @param name as last given
 * @param label the short id written on it, or an empty text
 * @param of id of the material of a can, the edition of a run or a sheet, the run of a load; or an empty text
 */
public record Thing(ThingId id, String kind, String name, String label, String of) {
    /** Folds one more defining event, in story order. */
    static Optional<Thing> fold(Optional<Thing> before, ThingId id, StudioEvent event) {
        if (event instanceof InkEvent.Named named) {
            return Optional.of(before.map(b -> new Thing(id, b.kind, named.name(), b.label, b.of))
                    .orElseGet(() -> new Thing(id, "thing", named.name(), "", "")));
        }
        return Optional.ofNullable(described(id, event))
                .map(now -> before.map(b -> b.joinedBy(now)).orElse(now));
    }

    /** A later description fills in what is missing; it may say a kind better, as when a mix is wrapped as a packet. */
    private Thing joinedBy(Thing later) {
        boolean packet = later.kind.equals("packet") && kind.equals("mix");
        return new Thing(
                id,
                kind.equals("thing") || packet ? later.kind : kind,
                name.isEmpty() ? later.name : name,
                later.label.isEmpty() ? label : later.label,
                of.isEmpty() ? later.of : of);
    }

    private static @Nullable Thing described(ThingId id, StudioEvent event) {
        if (event instanceof ShelfEvent.MaterialListed e) {
            return new Thing(id, "material", e.name(), "", "");
        } else if (event instanceof ShelfEvent.CanReceived e) {
            return new Thing(
                    id,
                    "can",
                    orEmpty(e.lot()),
                    orEmpty(e.label()),
                    e.material().text());
        } else if (event instanceof ShelfEvent.ToolListed e) {
            return new Thing(id, "tool", e.name(), "", "");
        } else if (event instanceof InkEvent.MixStarted e) {
            return new Thing(
                    id,
                    "mix",
                    orEmpty(e.name()),
                    orEmpty(e.label()),
                    e.run() == null ? "" : e.run().text());
        } else if (event instanceof InkEvent.Wrapped e) {
            return new Thing(id, "packet", "", orEmpty(e.label()), "");
        } else if (event instanceof InkEvent.RecipePlanned e) {
            return new Thing(id, "recipe", e.name(), "", "");
        } else if (event instanceof StoneEvent.Listed e) {
            return new Thing(id, slabside.event.EventCodec.word(e.kind()), e.number(), "", "");
        } else if (event instanceof PaperEvent.Received e) {
            return new Thing(id, "paper", e.name(), "", "");
        } else if (event instanceof PaperEvent.Torn e) {
            return e.sheets().stream()
                    .filter(sheet -> sheet.sheet().equals(id))
                    .findFirst()
                    .map(sheet -> new Thing(
                            id,
                            "sheet",
                            sheet.code(),
                            "",
                            e.edition() == null ? "" : e.edition().text()))
                    .orElse(null);
        } else if (event instanceof EditionEvent.Planned e) {
            return new Thing(id, "edition", e.title(), "", "");
        } else if (event instanceof EditionEvent.RunPlanned e) {
            return new Thing(
                    id,
                    "run",
                    e.name() == null ? "run " + e.order() : e.name(),
                    "",
                    e.edition().text());
        } else if (event instanceof PressEvent.RunStarted e) {
            return e.run().equals(id)
                    ? new Thing(id, "run", "", "", "")
                    : new Thing(id, "load", loadName(e, id), "", e.run().text());
        } else if (event instanceof TestEvent.DrawdownMade e) {
            return new Thing(id, "drawdown", "", "", e.vessel().text());
        }
        return null;
    }

    private static String loadName(PressEvent.RunStarted started, ThingId id) {
        return started.loads().stream()
                .filter(load -> load.load().equals(id))
                .map(load -> load.name().isEmpty() ? "slab and roller" : "slab and roller, " + load.name())
                .findFirst()
                .orElse("slab and roller");
    }

    private static String orEmpty(@Nullable String text) {
        return text == null ? "" : text;
    }

    /** What to call this on a screen: its name, else its label, else its kind and the beginning of its id. */
    public String shown() {
        if (!name.isEmpty()) {
            return name;
        }
        String random = id.text().substring(id.text().lastIndexOf('-') + 1);
        return kind + " " + (label.isEmpty() ? random.substring(0, Math.min(4, random.length())) : label);
    }
}
