package slabside.edition;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
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
 * @param graded what curating said of each sheet last
 * @param destroyed sheets that no longer exist, numbered or not
 */
public record Register(
        ThingId edition,
        Optional<Integer> declared,
        Map<ThingId, Impression> impressions,
        Map<ThingId, EditionEvent.Curated> graded,
        Set<ThingId> destroyed) {
    /** Where an impression is. */
    public enum Where {
        HERE,
        RELEASED,
        RETURNED,
        DESTROYED
    }

    /**
     * What was done with a sheet after printing; it may be signed before it is numbered.
     *
     * @param signed when, by whom, where and in what; empty while it is not
     * @param finished by hand: torn down, cleaned, coloured, interleaved; in order
     * @param moved when it was released, came back or was destroyed last
     * @param to whom it was released to last; empty when that is not known
     */
    public record After(
            Optional<Told> signed,
            Optional<Told> chopped,
            List<Told> finished,
            Where where,
            Optional<Told> moved,
            Optional<ThingId> to) {
        static final After NOTHING = new After(
                Optional.empty(), Optional.empty(), List.of(), Where.HERE, Optional.empty(), Optional.empty());

        After signedAt(Told told) {
            return new After(Optional.of(told), chopped, finished, where, moved, to);
        }

        After choppedAt(Told told) {
            return new After(signed, Optional.of(told), finished, where, moved, to);
        }

        After finishedAt(Told told) {
            List<Told> more = new ArrayList<>(finished);
            more.add(told);
            return new After(signed, chopped, more, where, moved, to);
        }

        After now(Where elsewhere, Told told, @Nullable ThingId whom) {
            return new After(signed, chopped, finished, elsewhere, Optional.of(told), Optional.ofNullable(whom));
        }
    }

    /**
     * One impression.
     *
     * @param style as it was chosen, such as "roman" or "EA"; an empty text for the usual one
     */
    public record Impression(
            ThingId sheet,
            ImpressionKind kind,
            @Nullable Integer number,
            @Nullable Integer of,
            String style,
            After after) {
        /** As it is written under the print, such as 7/40, AP I/IV or EA 1/4. */
        public String written() {
            String prefix = switch (kind) {
                case NUMBERED -> "";
                case ARTISTS_PROOF -> hasStyle("ea") ? "EA " : "AP ";
                case PRINTERS_PROOF -> "PP ";
                case TRIAL_PROOF -> "TP ";
                case COLOUR_TRIAL_PROOF -> "CTP ";
                case HORS_COMMERCE -> "HC ";
                case OK_PROOF -> hasStyle("bat") ? "BAT " : "OK proof ";
                default -> EventCodec.word(kind).replace('-', ' ') + " ";
            };
            return (prefix + (number == null ? "" : figure(number) + (of == null ? "" : "/" + figure(of)))).strip();
        }

        private boolean hasStyle(String word) {
            return Arrays.asList(style.toLowerCase(Locale.ROOT).split("[^a-z]+"))
                    .contains(word);
        }

        private String figure(int value) {
            return hasStyle("roman") ? roman(value) : Integer.toString(value);
        }

        public boolean signed() {
            return after.signed().isPresent();
        }

        public boolean chopped() {
            return after.chopped().isPresent();
        }

        public Where where() {
            return after.where();
        }

        public Optional<ThingId> to() {
            return after.to();
        }
    }

    private static final int[] ROMAN = {1000, 900, 500, 400, 100, 90, 50, 40, 10, 9, 5, 4, 1};
    private static final String[] LETTERS = {"M", "CM", "D", "CD", "C", "XC", "L", "XL", "X", "IX", "V", "IV", "I"};

    /** A number from 1 to 3999 in roman figures; others as they are. */
    static String roman(int value) {
        if (value < 1 || value > 3999) {
            return Integer.toString(value);
        }
        StringBuilder roman = new StringBuilder();
        int left = value;
        for (int i = 0; i < ROMAN.length; i++) {
            while (left >= ROMAN[i]) {
                roman.append(LETTERS[i]);
                left -= ROMAN[i];
            }
        }
        return roman.toString();
    }

    /** Folds the story of an edition. */
    public static Register of(Stories stories, ThingId edition) {
        Optional<Integer> declared = stories.of(edition, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.Planned)
                .map(told -> (EditionEvent.Planned) told.event())
                .reduce((first, last) -> last)
                .map(EditionEvent.Planned::number);
        Map<ThingId, EditionEvent.Numbered> numbered = new LinkedHashMap<>();
        Map<ThingId, EditionEvent.Curated> graded = new LinkedHashMap<>();
        Map<ThingId, After> after = new LinkedHashMap<>();
        for (Told told : stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof EditionEvent.Numbered e) {
                numbered.put(e.sheet(), e);
            } else if (told.event() instanceof EditionEvent.Curated e) {
                graded.put(e.sheet(), e);
                if (e.grade() == CuratedAs.DESTROYED) {
                    each(after, List.of(e.sheet()), before -> before.now(Where.DESTROYED, told, null));
                }
            } else if (told.event() instanceof EditionEvent.Signed e) {
                each(after, e.sheets(), before -> before.signedAt(told));
            } else if (told.event() instanceof EditionEvent.Chopped e) {
                each(after, e.sheets(), before -> before.choppedAt(told));
            } else if (told.event() instanceof EditionEvent.Finished e) {
                each(after, e.sheets(), before -> before.finishedAt(told));
            } else if (told.event() instanceof EditionEvent.Released e) {
                each(after, e.sheets(), before -> before.now(Where.RELEASED, told, e.to()));
            } else if (told.event() instanceof EditionEvent.Returned e) {
                each(after, e.sheets(), before -> before.now(Where.RETURNED, told, null));
            } else if (told.event() instanceof EditionEvent.Destroyed e) {
                each(after, e.sheets(), before -> before.now(Where.DESTROYED, told, null));
            }
        }
        Map<ThingId, Impression> impressions = new LinkedHashMap<>();
        numbered.forEach((sheet, event) ->
                impressions.put(sheet, impression(event, after.getOrDefault(sheet, After.NOTHING))));
        Set<ThingId> destroyed = new LinkedHashSet<>();
        after.forEach((sheet, state) -> {
            if (state.where() == Where.DESTROYED) {
                destroyed.add(sheet);
            }
        });
        return new Register(edition, declared, impressions, graded, destroyed);
    }

    private static void each(Map<ThingId, After> after, List<ThingId> sheets, UnaryOperator<After> change) {
        sheets.forEach(sheet -> after.put(sheet, change.apply(after.getOrDefault(sheet, After.NOTHING))));
    }

    private static Impression impression(EditionEvent.Numbered event, After after) {
        return new Impression(
                event.sheet(),
                event.kind(),
                event.number(),
                event.of(),
                event.style() == null ? "" : event.style(),
                after);
    }

    /** As if a sheet had not been numbered, for putting its record right. */
    public Register without(ThingId sheet) {
        Map<ThingId, Impression> fewer = new LinkedHashMap<>(impressions);
        fewer.remove(sheet);
        return new Register(edition, declared, fewer, graded, destroyed);
    }

    /** With one impression more. */
    public Register with(EditionEvent.Numbered event) {
        Map<ThingId, Impression> more = new LinkedHashMap<>(impressions);
        more.put(event.sheet(), impression(event, After.NOTHING));
        return new Register(edition, declared, more, graded, destroyed);
    }

    /** The first number of a kind that nobody has yet. */
    public int nextNumber(ImpressionKind kind) {
        Set<Integer> taken = new HashSet<>();
        impressions.values().stream()
                .filter(impression -> impression.kind == kind && impression.number != null)
                .forEach(impression -> taken.add(impression.number));
        int next = 1;
        while (taken.contains(next)) {
            next++;
        }
        return next;
    }

    /**
     * Looks whether prints may come back.
     *
     * @throws BadInput when one did not leave
     */
    public void check(EditionEvent.Returned event, Stories stories) {
        for (ThingId sheet : event.sheets()) {
            Impression impression = impressions.get(sheet);
            if (impression == null || impression.where() != Where.RELEASED) {
                throw new BadInput(
                        "sheets",
                        impression == null ? name(stories, sheet) : impression.written(),
                        "it was not released, as far as is written down");
            }
        }
    }

    /**
     * Looks whether sheets can still be signed, chopped or finished.
     *
     * @throws BadInput when one was destroyed
     */
    public void checkThere(List<ThingId> sheets, Stories stories) {
        for (ThingId sheet : sheets) {
            if (destroyed.contains(sheet)) {
                throw new BadInput("sheets", name(stories, sheet), "it was destroyed");
            }
        }
    }

    /**
     * Looks whether prints may leave.
     *
     * @throws BadInput when a sheet is no impression, was destroyed, or is not here
     */
    public void check(EditionEvent.Released event, Stories stories) {
        for (ThingId sheet : event.sheets()) {
            Impression impression = impressions.get(sheet);
            if (impression == null) {
                throw new BadInput("sheets", name(stories, sheet), "it is no impression yet; number it first");
            }
            if (impression.where() == Where.DESTROYED || impression.where() == Where.RELEASED) {
                throw new BadInput(
                        "sheets",
                        name(stories, sheet),
                        impression.written() + " was " + EventCodec.word(impression.where()) + " already");
            }
        }
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
        EditionEvent.Curated seen = graded.get(event.sheet());
        if (event.kind() == ImpressionKind.NUMBERED && seen != null && seen.grade() == CuratedAs.SECOND) {
            throw new BadInput("sheet", sheet, "it was found a second; curate it anew if it is good after all");
        }
        Integer number = event.number();
        if (number == null) {
            if (event.kind() == ImpressionKind.NUMBERED) {
                throw new BadInput("number", "", "a numbered impression needs its number");
            }
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
                .filter(impression -> impression.where() == Where.RELEASED)
                .count();
    }
}
