package slabside.ink;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.Condition;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.views.PerThing;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.views.Views;

/** What stands on the shelf: materials, cans and kept packets, with what was seen of them. */
public final class Shelf {
    private static final int MOST = 2_000;
    /** A packet with less than this, in grams, counts as used up. */
    private static final double LEAST_KEPT = 0.05;

    private final Views views;
    private final Ledger ledger;

    private final PerThing<Material> materials;
    private final PerThing<Seen> looks;
    private final PerThing<Boolean> emptied;

    public Shelf(Views views, Ledger ledger) {
        this.views = views;
        this.ledger = ledger;
        this.materials = new PerThing<>(views, this::listed);
        this.looks = new PerThing<>(views, this::look);
        this.emptied = new PerThing<>(views, this::isEmptied);
    }

    /**
     * @param screen a colour picked on a screen as #rrggbb, or an empty text
     */
    public record Material(ThingId id, String name, MaterialRole role, String screen) {}

    /** A can. */
    public record Can(Thing thing, ThingId material, String lot, Seen seen, Ledger.Left left) {
        /** Whether anything can be weighed out of it as far as is known. */
        public boolean isUsable() {
            return seen.finished().isEmpty()
                    && left.grams().map(g -> g.value() > 2 * g.u()).orElse(true);
        }
    }

    /**
     * A packet or other kept ink.
     *
     * @param place where it is kept, or an empty text
     * @param unwrapped it was opened since
     */
    public record Packet(Thing thing, String place, boolean unwrapped, Ledger.Left left, Contents contents) {}

    /** A material by id; one that was never listed is named by its id and taken for an ink. */
    public Material material(ThingId id) {
        return materials.of(id);
    }

    private Material listed(ThingId id) {
        return views.of(id, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof ShelfEvent.MaterialListed)
                .map(told -> (ShelfEvent.MaterialListed) told.event())
                .reduce((a, b) -> b)
                .map(listed -> new Material(
                        id,
                        views.thing(id).map(Thing::shown).orElse(listed.name()),
                        listed.role(),
                        listed.screen() == null ? "" : listed.screen()))
                .orElseGet(() -> new Material(id, views.name(id), MaterialRole.OTHER, ""));
    }

    public List<Material> materials() {
        return views.things("material", "", MOST).stream()
                .map(thing -> material(thing.id()))
                .sorted(Comparator.comparing(Material::role).thenComparing(Material::name))
                .toList();
    }

    /** Cans that nobody said were finished, newest first. */
    public List<Can> cans() {
        return views.things("can", "", MOST).stream()
                .filter(thing -> seen(thing.id()).finished().isEmpty())
                .map(this::can)
                .toList();
    }

    /** Cans that are finished, newest first. */
    public List<Thing> finished(int most) {
        return views.things("can", "", MOST).stream()
                .filter(thing -> seen(thing.id()).finished().isPresent())
                .limit(most)
                .toList();
    }

    /** Cans of a material, newest first. */
    public List<Can> cansOf(ThingId material) {
        return views.thingsOf("can", material, MOST).stream().map(this::can).toList();
    }

    /**
     * What was seen of a can or packet, without what is left in it.
     *
     * @param opened when it was first opened, in ms
     * @param finished the event that said so, or one that says the lot is gone
     * @param inspected what was last seen when looking into it
     */
    public record Seen(Optional<Long> opened, Optional<Told> finished, Optional<ShelfEvent.VesselInspected> inspected) {
        public boolean isSkinned() {
            return inspected.map(s -> s.found().contains(Condition.SKIN)).orElse(false);
        }
    }

    public Seen seen(ThingId vessel) {
        return looks.of(vessel);
    }

    private Seen look(ThingId vessel) {
        Long opened = null;
        Told finished = null;
        ShelfEvent.VesselInspected seen = null;
        for (Told told : views.of(vessel, Set.of(Role.NOTED, Role.OBSERVED), StoryKey.LAST)) {
            if (told.event() instanceof ShelfEvent.CanOpened && opened == null) {
                opened = told.key().millis();
            } else if (told.event() instanceof ShelfEvent.CanFinished) {
                finished = told;
            } else if (told.event() instanceof ShelfEvent.VesselInspected inspected) {
                seen = inspected;
            }
        }
        return new Seen(Optional.ofNullable(opened), Optional.ofNullable(finished), Optional.ofNullable(seen));
    }

    public Can can(Thing thing) {
        return new Can(thing, ledger.material(thing.id()), thing.name(), seen(thing.id()), ledger.left(thing.id()));
    }

    /** Kept packets that still hold something, newest first. */
    public List<Packet> packets() {
        List<Packet> kept = new ArrayList<>();
        for (Thing thing : views.things("packet", "", MOST)) {
            if (emptied.of(thing.id())) {
                continue;
            }
            Ledger.Left left = ledger.left(thing.id());
            if (left.grams().map(g -> g.value() >= LEAST_KEPT).orElse(true)) {
                kept.add(packet(thing, left));
            }
        }
        return kept;
    }

    /** Its rest was taken, and nothing came into it or was weighed since: seen without working out what is in all that it came from. */
    private boolean isEmptied(ThingId vessel) {
        return views.of(vessel, Set.of(Role.OUT, Role.IN, Role.OBSERVED), StoryKey.LAST).stream()
                .reduce((earlier, later) -> later)
                .map(last -> last.event() instanceof InkEvent.Moved moved
                        && views.canonical(moved.from()).equals(views.canonical(vessel))
                        && moved.amount() instanceof Amount.Rest)
                .orElse(false);
    }

    private Packet packet(Thing thing, Ledger.Left left) {
        String place = "";
        boolean unwrapped = false;
        for (Told told : views.of(thing.id(), Set.of(Role.DEFINES, Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof InkEvent.Wrapped wrapped) {
                place = wrapped.place() == null ? place : wrapped.place();
            } else if (told.event() instanceof InkEvent.Unwrapped) {
                unwrapped = true;
            }
        }
        return new Packet(thing, place, unwrapped, left, ledger.now(thing.id()));
    }

    /**
     * Strength of one can against another.
     *
     * @param percent 100 when alike
     * @param told where it was judged; empty when nobody did
     */
    public record Strength(double percent, @Nullable Told told) {}

    /** As judged last, either way round; 100 % and no event when never judged. */
    public Strength strength(ThingId can, ThingId against) {
        Strength found = new Strength(100, null);
        List<Told> judged = new ArrayList<>(views.of(can, Set.of(Role.NOTED), StoryKey.LAST));
        judged.addAll(views.of(against, Set.of(Role.NOTED), StoryKey.LAST));
        judged.sort(Comparator.comparing(Told::key));
        for (Told told : judged) {
            if (told.event() instanceof TestEvent.StrengthJudged s) {
                double percent = s.percent().doubleValue();
                if (views.canonical(s.lot()).equals(can)
                        && views.canonical(s.against()).equals(against)) {
                    found = new Strength(percent, told);
                } else if (views.canonical(s.lot()).equals(against)
                        && views.canonical(s.against()).equals(can)) {
                    found = new Strength(100 * 100 / percent, told);
                }
            }
        }
        return found;
    }
}
