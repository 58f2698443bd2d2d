package slabside.edition;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.ImpressionKind;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * Where every impression of an edition is: what the sheet became, its number, whether it is signed and chopped, whether it
 * was released, came back or was destroyed. An impression number says nothing of the order of printing.
 *
 * @param declared how many were to be numbered; empty when nobody said
 * @param impressions by sheet, in the order in which they were numbered
 * @param destroyed sheets that no longer exist, numbered or not
 */
public record Register(
        ThingId edition, Optional<Integer> declared, Map<ThingId, Impression> impressions, Set<ThingId> destroyed) {
    /** Where an impression is. */
    public enum Where {
        HERE,
        RELEASED,
        RETURNED,
        DESTROYED
    }

    /**
     * One impression.
     *
     * @param to whom it was released to last; empty when that is not known
     */
    public record Impression(
            ThingId sheet,
            ImpressionKind kind,
            @Nullable Integer number,
            @Nullable Integer of,
            boolean signed,
            boolean chopped,
            Where where,
            Optional<ThingId> to) {
        /** As it is written under the print, such as 7/40 or AP 1/4. */
        public String written() {
            String prefix = switch (kind) {
                case NUMBERED -> "";
                case ARTISTS_PROOF -> "AP ";
                case PRINTERS_PROOF -> "PP ";
                case TRIAL_PROOF -> "TP ";
                case COLOUR_TRIAL_PROOF -> "CTP ";
                case HORS_COMMERCE -> "HC ";
                default -> EventCodec.word(kind).replace('-', ' ') + " ";
            };
            return (prefix + (number == null ? "" : number + (of == null ? "" : "/" + of))).strip();
        }

        private Impression now(Where elsewhere, Optional<ThingId> whom) {
            return new Impression(sheet, kind, number, of, signed, chopped, elsewhere, whom);
        }
    }

    /** Folds the story of an edition. */
    public static Register of(Stories stories, ThingId edition) {
        Optional<Integer> declared = stories.of(edition, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.Planned)
                .map(told -> ((EditionEvent.Planned) told.event()).number())
                .reduce((first, last) -> last);
        Map<ThingId, Impression> impressions = new LinkedHashMap<>();
        Set<ThingId> destroyed = new java.util.LinkedHashSet<>();
        for (Told told : stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof EditionEvent.Numbered e) {
                impressions.put(
                        e.sheet(),
                        new Impression(
                                e.sheet(), e.kind(), e.number(), e.of(), false, false, Where.HERE, Optional.empty()));
            } else if (told.event() instanceof EditionEvent.Signed e) {
                e.sheets()
                        .forEach(sheet -> impressions.computeIfPresent(
                                sheet,
                                (id, i) -> new Impression(id, i.kind, i.number, i.of, true, i.chopped, i.where, i.to)));
            } else if (told.event() instanceof EditionEvent.Chopped e) {
                e.sheets()
                        .forEach(sheet -> impressions.computeIfPresent(
                                sheet,
                                (id, i) -> new Impression(id, i.kind, i.number, i.of, i.signed, true, i.where, i.to)));
            } else if (told.event() instanceof EditionEvent.Released e) {
                e.sheets()
                        .forEach(sheet -> impressions.computeIfPresent(
                                sheet, (id, i) -> i.now(Where.RELEASED, Optional.ofNullable(e.to()))));
            } else if (told.event() instanceof EditionEvent.Returned e) {
                e.sheets()
                        .forEach(sheet -> impressions.computeIfPresent(
                                sheet, (id, i) -> i.now(Where.RETURNED, Optional.empty())));
            } else if (told.event() instanceof EditionEvent.Destroyed e) {
                e.sheets().forEach(sheet -> {
                    destroyed.add(sheet);
                    impressions.computeIfPresent(sheet, (id, i) -> i.now(Where.DESTROYED, Optional.empty()));
                });
            } else if (told.event() instanceof EditionEvent.Curated e && e.grade() == CuratedAs.DESTROYED) {
                destroyed.add(e.sheet());
            }
        }
        return new Register(edition, declared, impressions, destroyed);
    }

    /** As if a sheet had not been numbered, for putting its record right. */
    public Register without(ThingId sheet) {
        Map<ThingId, Impression> fewer = new LinkedHashMap<>(impressions);
        fewer.remove(sheet);
        return new Register(edition, declared, fewer, destroyed);
    }

    /** With one impression more. */
    public Register with(EditionEvent.Numbered event) {
        Map<ThingId, Impression> more = new LinkedHashMap<>(impressions);
        more.put(
                event.sheet(),
                new Impression(
                        event.sheet(),
                        event.kind(),
                        event.number(),
                        event.of(),
                        false,
                        false,
                        Where.HERE,
                        Optional.empty()));
        return new Register(edition, declared, more, destroyed);
    }

    /**
     * Looks whether a sheet may become what an event says.
     *
     * @throws BadInput when its number was issued before, lies above what was declared, or the sheet is taken or gone
     */
    public void check(EditionEvent.Numbered event, Stories stories) {
        String sheet = name(stories, event.sheet());
        Impression before = impressions.get(event.sheet());
        if (before != null) {
            throw new BadInput(
                    "sheet", sheet, "it is " + before.written() + " already; take that back first if it was wrong");
        }
        if (destroyed.contains(event.sheet())) {
            throw new BadInput("sheet", sheet, "it was destroyed; choose another");
        }
        Integer number = event.number();
        if (number == null) {
            return;
        }
        if (number < 1) {
            throw new BadInput("number", number, "count from 1");
        }
        if (event.kind() == ImpressionKind.NUMBERED && declared.isPresent()) {
            if (number > declared.get()) {
                throw new BadInput("number", number, "the edition was declared as " + declared.get());
            }
            if (event.of() != null && !event.of().equals(declared.get())) {
                throw new BadInput("of how many", event.of(), "the edition was declared as " + declared.get());
            }
        }
        if (event.of() != null && number > event.of()) {
            throw new BadInput("number", number, "there are only " + event.of());
        }
        for (Impression other : impressions.values()) {
            if (other.kind == event.kind() && number.equals(other.number)) {
                throw new BadInput("number", number, other.written() + " is sheet " + name(stories, other.sheet));
            }
        }
    }

    private static String name(Stories stories, ThingId sheet) {
        return stories.thing(sheet).map(slabside.views.Thing::shown).orElse(sheet.text());
    }

    /** Numbers that two devices issued for different sheets, each with its sheets. */
    public Map<String, List<ThingId>> issuedTwice() {
        Map<String, List<ThingId>> sheets = new TreeMap<>();
        impressions.values().stream()
                .filter(impression -> impression.number != null)
                .forEach(impression -> sheets.computeIfAbsent(
                                EventCodec.word(impression.kind) + " " + impression.number, key -> new ArrayList<>())
                        .add(impression.sheet));
        sheets.values().removeIf(same -> same.size() < 2);
        return sheets;
    }

    public long numbered() {
        return impressions.values().stream()
                .filter(impression -> impression.kind == ImpressionKind.NUMBERED)
                .count();
    }

    public long signed() {
        return impressions.values().stream().filter(Impression::signed).count();
    }

    public long released() {
        return impressions.values().stream()
                .filter(impression -> impression.where == Where.RELEASED)
                .count();
    }
}
