package slabside.edition;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.EventId;
import slabside.event.ImpressionKind;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** Numbers are issued once, within what was declared, and every impression is found again. */
class RegisterTest {
    private static final ThingId EDITION = new ThingId("edition-1");
    private static final int DECLARED = 10;

    @TempDir
    Path folder;

    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 20; i++) {
            sheets.add(new Sheet(sheet(i), "S-" + i));
        }
        write(
                new EditionEvent.Planned(
                        EDITION, "Invented", null, DECLARED, null, null, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, EDITION, null));
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private static ThingId sheet(int i) {
        return new ThingId("sheet-" + i);
    }

    private void write(StudioEvent... events) {
        studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(events));
    }

    private Register register() {
        return studio.runs().register(EDITION);
    }

    private static EditionEvent.Numbered numbered(
            int sheet, ImpressionKind kind, @Nullable Integer number, @Nullable Integer of) {
        return new EditionEvent.Numbered(EDITION, sheet(sheet), kind, number, of, null);
    }

    private String refused(EditionEvent.Numbered event) {
        return String.valueOf(assertThrows(BadInput.class, () -> register().check(event, studio.views()))
                .getMessage());
    }

    @Test
    void a_number_is_issued_once_and_not_above_what_was_declared() {
        write(numbered(1, ImpressionKind.NUMBERED, 7, 10));
        assertTrue(refused(numbered(2, ImpressionKind.NUMBERED, 7, 10)).contains("7/10 is sheet S-1"));
        assertTrue(refused(numbered(1, ImpressionKind.NUMBERED, 8, 10)).contains("it is 7/10 already"));
        assertTrue(refused(numbered(2, ImpressionKind.NUMBERED, 11, null)).contains("declared as 10"));
        assertTrue(refused(numbered(2, ImpressionKind.NUMBERED, 3, 12)).contains("declared as 10"));
        assertTrue(refused(numbered(2, ImpressionKind.ARTISTS_PROOF, 5, 4)).contains("only 4"));
        assertTrue(refused(numbered(2, ImpressionKind.NUMBERED, 0, 10)).contains("count from 1"));
        register().check(numbered(2, ImpressionKind.ARTISTS_PROOF, 7, 8), studio.views());
        write(new EditionEvent.Destroyed(EDITION, List.of(sheet(3)), null, null));
        assertTrue(refused(numbered(3, ImpressionKind.NUMBERED, 3, 10)).contains("was destroyed"));
    }

    @Test
    void every_impression_is_found_again() {
        ThingId buyer = new ThingId("person-buyer");
        write(
                numbered(1, ImpressionKind.NUMBERED, 1, 10),
                numbered(2, ImpressionKind.NUMBERED, 2, 10),
                numbered(3, ImpressionKind.ARTISTS_PROOF, 1, 2),
                new EditionEvent.Signed(EDITION, List.of(sheet(1), sheet(2)), buyer, null, "pencil"),
                new EditionEvent.Released(EDITION, List.of(sheet(1), sheet(2)), buyer, null),
                new EditionEvent.Returned(EDITION, List.of(sheet(2)), buyer, "cockled"));
        Register register = register();
        assertEquals("AP 1/2", register.impressions().get(sheet(3)).written());
        assertEquals(
                Register.Where.RELEASED, register.impressions().get(sheet(1)).where());
        assertEquals(buyer, register.impressions().get(sheet(1)).to().orElseThrow());
        assertEquals(
                Register.Where.RETURNED, register.impressions().get(sheet(2)).where());
        assertEquals(2, register.numbered());
        assertEquals(2, register.signed());
        assertEquals(1, register.released());
    }

    /** Five at a time for years, with slips that are taken back: what was let through never holds a number twice. */
    @Test
    void nothing_is_issued_twice_in_random_histories() {
        Random random = new Random(6);
        List<EventId> written = new ArrayList<>();
        int refused = 0;
        for (int i = 0; i < 400; i++) {
            EditionEvent.Numbered next =
                    numbered(1 + random.nextInt(20), ImpressionKind.NUMBERED, 1 + random.nextInt(12), DECLARED);
            try {
                register().check(next, studio.views());
                write(next);
                written.add(studio.views().ofType("edition.numbered", 1).get(0).id());
            } catch (BadInput said) {
                refused++;
            }
            if (!written.isEmpty() && random.nextInt(4) == 0) {
                write(new LogEvent.Voided(written.remove(random.nextInt(written.size())), null));
            }
            Register now = register();
            Set<Integer> numbers = new HashSet<>();
            now.impressions().values().forEach(impression -> assertTrue(numbers.add(impression.number())));
            assertTrue(numbers.stream().allMatch(number -> number >= 1 && number <= DECLARED));
            assertEquals(written.size(), now.impressions().size());
            assertTrue(now.issuedTwice().isEmpty());
        }
        assertTrue(refused > 100, refused + " were refused");
    }

    @Test
    void what_two_devices_issued_for_two_sheets_is_shown() {
        write(numbered(1, ImpressionKind.NUMBERED, 4, 10), numbered(2, ImpressionKind.NUMBERED, 4, 10));
        assertEquals(List.of(sheet(1), sheet(2)), register().issuedTwice().get("numbered 4"));
    }
}
