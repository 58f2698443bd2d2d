package slabside.edition;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.Actor;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.ImpressionKind;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/**
 * An edition of 40 printed about five at a time for six years, in three batches of ink, by two devices, with slips taken
 * back and pulls entered late: which numbers are issued, and what ink is on each impression. The ink is worked out again
 * beside it by plain sums.
 */
class PartEditionTest {
    private static final ThingId EDITION = new ThingId("edition-1");
    private static final ThingId RUN = new ThingId("run-1");
    private static final ThingId BLUE = new ThingId("can-blue");
    private static final ThingId BASE = new ThingId("can-base");
    private static final int DECLARED = 40;
    private static final int SHEETS = 60;
    private static final int BATCHES = 3;
    private static final int YEARS = 6;
    private static final int AT_A_TIME = 5;

    @TempDir
    Path folder;

    private static final class Hands extends Clock {
        private Instant now = Instant.parse("2020-03-02T09:00:00Z");

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }

        @Override
        public Instant instant() {
            return now;
        }
    }

    private final Hands clock = new Hands();
    private Random random = new Random(0);

    /** What must come out, kept by plain sums. */
    private final Map<ThingId, Double> blueOnSheet = new HashMap<>();

    private final Map<ThingId, Integer> batchOfSheet = new HashMap<>();
    private final Map<Integer, ThingId> numbers = new LinkedHashMap<>();

    @ParameterizedTest(name = "seed {0}")
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void every_impression_keeps_its_number_its_batch_and_its_ink(long seed) {
        random = new Random(seed);
        try (Studio studio = Studio.open(folder.resolve("data" + seed), folder.resolve("config" + seed), clock)) {
            List<ThingId> sheets = begin(studio);
            int next = 0;
            double leftover = 0;
            double leftoverBlue = 0;
            for (int batch = 1; batch <= BATCHES; batch++) {
                // A little of the old ink is folded into the new, so that shares travel from batch to batch.
                ThingId mix = new ThingId("mix-" + batch);
                double blue = 2 + random.nextInt(30) / 10.0;
                double base = 30 + random.nextInt(200) / 10.0;
                move(studio, BLUE, mix, blue, Why.ADDED);
                move(studio, BASE, mix, base, Why.ADDED);
                if (batch > 1) {
                    move(studio, new ThingId("mix-" + (batch - 1)), mix, 5, Why.FOLDED_IN);
                    blue += 5 * leftoverBlue;
                    base += 5 * (1 - leftoverBlue);
                }
                leftover = blue + base;
                leftoverBlue = blue / leftover;
                for (int year = 0; year < YEARS / BATCHES; year++) {
                    next = print(studio, mix, leftoverBlue, sheets, next, batch * 2 - 1 + year);
                    curateAndNumber(studio);
                    clock.now = clock.now.plus(Duration.ofDays(300 + random.nextInt(120)));
                }
            }
            check(studio);
        }
    }

    private List<ThingId> begin(Studio studio) {
        List<Sheet> torn = new ArrayList<>();
        List<ThingId> sheets = new ArrayList<>();
        for (int i = 1; i <= SHEETS; i++) {
            ThingId sheet = new ThingId("sheet-" + i);
            sheets.add(sheet);
            torn.add(new Sheet(sheet, String.format(java.util.Locale.ROOT, "SH-%02d", i)));
        }
        write(
                studio,
                new EditionEvent.Planned(
                        EDITION, "Invented", null, DECLARED, null, null, null, null, null, null, null, null, null));
        write(studio, new EditionEvent.RunPlanned(RUN, EDITION, 1, Surface.FLAT, null, "run 1", null));
        write(studio, new PaperEvent.Torn(new ThingId("paper-1"), torn, null, null, EDITION, null));
        for (ThingId can : List.of(BLUE, BASE)) {
            write(
                    studio,
                    new ShelfEvent.CanReceived(
                            can,
                            new ThingId("material-" + can.text()),
                            can.text(),
                            null,
                            Amount.net("net", "900"),
                            null,
                            null,
                            null));
        }
        return sheets;
    }

    private EventId write(Studio studio, StudioEvent event) {
        return write(studio, event, null);
    }

    /** One of two devices writes, a little later than the last. */
    private EventId write(Studio studio, StudioEvent event, @Nullable EventId after) {
        clock.now = clock.now.plusSeconds(30 + random.nextInt(200));
        EventId id = EventId.at(clock.millis(), random);
        studio.append(Decision.of(new Draft(
                id,
                Happened.exactly(clock.millis(), ZoneOffset.UTC),
                after,
                new Actor(Studio.SOMEBODY, random.nextBoolean() ? "tablet" : "laptop"),
                event)));
        return id;
    }

    private void move(Studio studio, ThingId from, ThingId to, double grams, Why why) {
        Amount amount = Amount.net(
                "grams",
                BigDecimal.valueOf(grams)
                        .setScale(1, java.math.RoundingMode.HALF_UP)
                        .toString());
        write(studio, new InkEvent.Moved(from, to, amount, why, null));
    }

    /** A session at the press; returns how many sheets were used up so far. */
    private int print(Studio studio, ThingId mix, double blue, List<ThingId> sheets, int used, int session) {
        // The loads of a run may stay the same vessels for years, or be new ones each time.
        ThingId load = new ThingId(random.nextBoolean() ? "load-same" : "load-" + session);
        EventId setUp = write(
                studio,
                new PressEvent.RunStarted(
                        RUN, List.of(new Load(load, "", null)), null, null, Surface.FLAT, null, null));
        move(studio, mix, load, 4 + random.nextInt(3), Why.CHARGED);
        int next = used;
        EventId anchor = setUp;
        for (int i = 0; i < AT_A_TIME + random.nextInt(3); i++) {
            ThingId sheet = sheets.get(next++);
            boolean spoiled = random.nextInt(6) == 0;
            anchor = write(studio, pull(sheet, spoiled ? PressGrade.SPOILED : PressGrade.GOOD));
            if (random.nextInt(5) == 0) {
                // A slip: taken back and written again.
                write(studio, new LogEvent.Voided(anchor, null));
                anchor = write(studio, pull(sheet, PressGrade.GOOD));
                spoiled = false;
            }
            blueOnSheet.put(sheet, blue);
            batchOfSheet.put(sheet, session);
        }
        write(studio, new PressEvent.CleanedUp(RUN, null));
        if (random.nextBoolean()) {
            // Remembered weeks later: one more pull, directly behind the last of that day.
            clock.now = clock.now.plus(Duration.ofDays(20));
            ThingId sheet = sheets.get(next++);
            write(studio, pull(sheet, PressGrade.GOOD), anchor);
            blueOnSheet.put(sheet, blue);
            batchOfSheet.put(sheet, session);
        }
        return next;
    }

    private static PressEvent.Pulled pull(ThingId sheet, PressGrade grade) {
        return new PressEvent.Pulled(RUN, sheet, PullMode.EDITION, null, 6, grade, List.of(), null);
    }

    private void curateAndNumber(Studio studio) {
        for (Sheet sheet : studio.runs().edition(EDITION).toCurate()) {
            CuratedAs as = random.nextInt(8) == 0 ? CuratedAs.SECOND : CuratedAs.GOOD;
            write(studio, new EditionEvent.Curated(EDITION, sheet.sheet(), as, null));
        }
        for (Sheet sheet : studio.runs().edition(EDITION).toNumber()) {
            // Pull order is not the order of the numbers, and hands slip.
            int number = 1 + random.nextInt(DECLARED + 3);
            EditionEvent.Numbered event =
                    new EditionEvent.Numbered(EDITION, sheet.sheet(), ImpressionKind.NUMBERED, number, DECLARED, null);
            try {
                studio.runs().register(EDITION).check(event, studio.views());
            } catch (BadInput refused) {
                assertTrue(numbers.containsKey(number) || number > DECLARED, refused.getMessage());
                continue;
            }
            EventId written = write(studio, event);
            if (random.nextInt(6) == 0) {
                write(studio, new LogEvent.Voided(written, "wrong number"));
            } else {
                numbers.put(number, sheet.sheet());
            }
        }
    }

    private void check(Studio studio) {
        Edition edition = studio.runs().edition(EDITION);
        Register register = edition.register();
        assertTrue(numbers.size() > 8, numbers.size() + " were numbered");
        assertEquals(numbers.size(), register.numbered());
        assertTrue(register.issuedTwice().isEmpty());
        Set<Integer> batches = new HashSet<>();
        numbers.forEach((number, sheet) -> {
            Register.Impression impression = register.impressions().get(sheet);
            assertEquals(number + "/" + DECLARED, impression.written());
            List<Edition.Passage> passages = edition.passages(sheet);
            assertEquals(1, passages.size());
            Run.Pull pull = passages.get(0).pull();
            assertEquals(batchOfSheet.get(sheet), pull.batch(), () -> "batch of " + edition.code(sheet));
            batches.add(pull.batch());
            Contents ink = studio.runs().loadsAt(pull).get(0);
            assertEquals(blueOnSheet.get(sheet), ink.share(BLUE).value(), 1e-9, () -> "ink of " + edition.code(sheet));
        });
        assertTrue(batches.size() >= BATCHES);
        assertEquals(
                batchOfSheet.size(),
                edition.runs().get(0).pulls().stream()
                        .filter(pull -> pull.number() > 0)
                        .count());
    }
}
