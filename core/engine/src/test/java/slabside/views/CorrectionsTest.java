package slabside.views;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.RawBody;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.Samples;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.measure.Amount;

/** Corrections, story order and the two axes of "as of": the views and the telling from memory agree on all of them. */
class CorrectionsTest {
    private static final ThingId CAN = new ThingId("can-1");
    private static final ThingId OTHER = new ThingId("can-2");
    private static final ThingId MIX = new ThingId("mix-1");

    @TempDir
    Path folder;

    private final Random random = new Random(3);
    private SqlEventLog log;
    private Views views;

    @BeforeEach
    void open() {
        log = SqlEventLog.open(folder.resolve("data"), folder.resolve("config"), Samples.ticking(), random);
        views = Views.following(log, folder.resolve("data"));
    }

    @AfterEach
    void close() {
        views.close();
        log.close();
    }

    private Stored write(StudioEvent event) {
        return write(event, Happened.exactly(Samples.NOW.toEpochMilli() - 60_000, ZoneOffset.UTC), null);
    }

    private Stored write(StudioEvent event, Happened happened, EventId after) {
        Draft draft = new Draft(EventId.at(Samples.NOW.toEpochMilli(), random), happened, after, Samples.ACTOR, event);
        Stored stored = log.append(Decision.of(draft)).stored().get(0);
        views.catchUp();
        return stored;
    }

    private static InkEvent.Moved added(ThingId from, String grams) {
        return new InkEvent.Moved(from, MIX, Amount.net("amount", grams), Why.ADDED, null);
    }

    private static EventId id(Stored stored) {
        return stored.envelope().id();
    }

    private Stored amend(Stored event, StudioEvent now, EventId... replaces) {
        List<EventId> versions = replaces.length == 0 ? List.of(id(event)) : List.of(replaces);
        return write(new LogEvent.Amended(
                id(event), versions, new RawBody(EventCodec.body(now).toString()), null, null, "misread"));
    }

    private Stored takeBack(Stored event) {
        return write(new LogEvent.Voided(id(event), null));
    }

    private Told told(Stored event) {
        Told fromViews = views.told(id(event)).orElseThrow();
        assertEquals(memory().told(id(event)).orElseThrow().event(), fromViews.event());
        assertEquals(memory().told(id(event)).orElseThrow().voided(), fromViews.voided());
        assertEquals(memory().told(id(event)).orElseThrow().key(), fromViews.key());
        return fromViews;
    }

    private MemoryStories memory() {
        return MemoryStories.of(log.read(0, 10_000));
    }

    private List<Told> story(ThingId thing) {
        List<Told> fromViews = views.of(thing, EnumSet.allOf(Role.class), StoryKey.LAST);
        List<EventId> fromMemory = memory().of(thing, EnumSet.allOf(Role.class), StoryKey.LAST).stream()
                .map(Told::id)
                .toList();
        assertEquals(fromMemory, fromViews.stream().map(Told::id).toList());
        return fromViews;
    }

    @Test
    void an_amended_move_reads_differently_and_leaves_the_can_it_did_not_come_from() {
        Stored move = write(added(CAN, "12.0"));
        assertEquals(1, story(CAN).size());
        amend(move, added(OTHER, "21.0"));
        assertEquals(added(OTHER, "21.0"), told(move).event());
        assertTrue(told(move).amended());
        assertEquals(0, story(CAN).size());
        assertEquals(1, story(OTHER).size());
    }

    @Test
    void the_later_of_two_amendments_made_apart_counts_and_the_event_is_disputed_until_someone_names_both() {
        Stored move = write(added(CAN, "12.0"));
        Stored first = amend(move, added(CAN, "13.0"), id(move));
        Stored second = amend(move, added(CAN, "14.0"), id(move));
        assertEquals(added(CAN, "14.0"), told(move).event());
        assertTrue(told(move).disputed());
        amend(move, added(CAN, "13.5"), id(first), id(second));
        assertEquals(added(CAN, "13.5"), told(move).event());
        assertFalse(told(move).disputed());
    }

    @Test
    void a_void_beats_an_amendment_and_can_itself_be_taken_back() {
        Stored move = write(added(CAN, "12.0"));
        Stored gone = takeBack(move);
        amend(move, added(CAN, "13.0"));
        assertTrue(told(move).voided());
        assertEquals(0, story(MIX).size());
        takeBack(gone);
        assertFalse(told(move).voided());
        assertEquals(added(CAN, "13.0"), told(move).event());
        assertEquals(1, story(MIX).size());
    }

    @Test
    void an_amendment_taken_back_leaves_what_was_before_it() {
        Stored move = write(added(CAN, "12.0"));
        Stored first = amend(move, added(CAN, "13.0"));
        Stored second = amend(move, added(CAN, "14.0"), id(first));
        takeBack(second);
        assertEquals(added(CAN, "13.0"), told(move).event());
        takeBack(first);
        assertEquals(added(CAN, "12.0"), told(move).event());
        assertFalse(told(move).amended());
    }

    @Test
    void an_amendment_of_the_time_alone_keeps_the_body_as_amended_before() {
        Stored move = write(added(CAN, "12.0"));
        Stored first = amend(move, added(CAN, "13.0"));
        Happened earlier = Happened.minute(Instant.parse("2026-02-28T09:00:00Z"), ZoneOffset.UTC);
        write(new LogEvent.Amended(id(move), List.of(id(first)), null, earlier, null, null));
        assertEquals(added(CAN, "13.0"), told(move).event());
        assertEquals(earlier, told(move).happened());
    }

    @Test
    void a_late_entry_stands_where_it_happened_or_right_behind_the_event_it_names() {
        Stored first = write(added(CAN, "1.0"), at("2026-02-01T09:00:00Z"), null);
        Stored third = write(added(CAN, "3.0"), at("2026-02-01T11:00:00Z"), null);
        Stored late = write(added(CAN, "2.0"), at("2026-02-01T10:00:00Z"), null);
        Stored behind = write(added(CAN, "9.0"), Happened.unknown(ZoneOffset.UTC), id(first));
        Stored thatDay = write(added(CAN, "4.0"), Happened.day(LocalDate.parse("2026-02-01"), ZoneOffset.UTC), null);
        assertEquals(
                List.of(id(first), id(behind), id(late), id(third), id(thatDay)),
                story(MIX).stream().map(Told::id).toList());
    }

    @Test
    void events_behind_an_event_move_with_it_when_its_time_is_put_right() {
        Stored anchor = write(added(CAN, "1.0"), at("2026-02-01T09:00:00Z"), null);
        Stored behind = write(added(CAN, "2.0"), Happened.unknown(ZoneOffset.UTC), id(anchor));
        Stored deeper = write(added(CAN, "3.0"), Happened.unknown(ZoneOffset.UTC), id(behind));
        Stored other = write(added(CAN, "4.0"), at("2026-02-02T09:00:00Z"), null);
        write(new LogEvent.Amended(id(anchor), List.of(id(anchor)), null, at("2026-02-03T09:00:00Z"), null, null));
        assertEquals(
                List.of(id(other), id(anchor), id(behind), id(deeper)),
                story(MIX).stream().map(Told::id).toList());
    }

    @Test
    void an_event_that_followed_another_can_be_put_at_its_own_time_again() {
        Stored early = write(added(CAN, "1.0"), at("2026-01-01T08:00:00Z"), null);
        Stored middle = write(added(CAN, "2.0"), at("2026-01-01T09:00:00Z"), null);
        Stored late = write(added(CAN, "3.0"), at("2026-01-01T10:00:00Z"), id(early));
        assertEquals(List.of(id(early), id(late), id(middle)), order(MIX));
        write(new LogEvent.Amended(id(late), List.of(id(late)), null, null, id(late), "it came later"));
        assertEquals(List.of(id(early), id(middle), id(late)), order(MIX));
        Told told = views.told(id(late)).orElseThrow();
        assertTrue(told.after() == null && !told.adrift() && told.amended());
    }

    private List<EventId> order(ThingId thing) {
        return story(thing).stream().map(Told::id).toList();
    }

    @Test
    void a_missing_anchor_and_a_circle_fall_back_to_the_time_and_are_reported() {
        EventId nowhere = EventId.at(1, random);
        Stored lost = write(added(CAN, "1.0"), at("2026-02-01T09:00:00Z"), nowhere);
        assertTrue(told(lost).adrift());
        Stored a = write(added(CAN, "2.0"), at("2026-02-01T10:00:00Z"), null);
        Stored b = write(added(CAN, "3.0"), at("2026-02-01T11:00:00Z"), id(a));
        write(new LogEvent.Amended(id(a), List.of(id(a)), null, null, id(b), null));
        assertTrue(told(a).adrift());
        assertTrue(told(b).adrift());
        assertEquals(
                List.of(id(lost), id(a), id(b)),
                story(MIX).stream().map(Told::id).toList());
    }

    @Test
    void past_knowledge_is_told_as_it_was_then() {
        Stored move = write(added(CAN, "12.0"));
        long then = move.envelope().recorded();
        amend(move, added(OTHER, "21.0"));
        Stories past = views.asKnown(then);
        assertEquals(1, past.of(CAN, EnumSet.of(Role.OUT), StoryKey.LAST).size());
        assertEquals(0, past.of(OTHER, EnumSet.of(Role.OUT), StoryKey.LAST).size());
        assertEquals(added(CAN, "12.0"), past.told(id(move)).orElseThrow().event());
        assertEquals(0, views.of(CAN, EnumSet.of(Role.OUT), StoryKey.LAST).size());
    }

    @Test
    void the_timeline_shows_what_was_put_right_when_asked_for_that_alone() {
        Stored move = write(added(CAN, "12.0"));
        write(added(CAN, "13.0"));
        amend(move, added(CAN, "14.0"));
        Timeline.Filter changed = new Timeline.Filter(
                "", Optional.empty(), Optional.empty(), "", "", 0, Long.MAX_VALUE - 1, Long.MAX_VALUE, true, 50);
        assertEquals(
                List.of(id(move)),
                views.timeline(changed).events().stream().map(Told::id).toList());
    }

    @Test
    void two_records_of_one_can_tell_one_story_until_they_are_parted() {
        write(added(CAN, "1.0"));
        write(added(OTHER, "2.0"));
        Stored same = write(new LogEvent.SameThing(CAN, OTHER));
        assertEquals(2, views.of(OTHER, EnumSet.of(Role.OUT), StoryKey.LAST).size());
        assertEquals(CAN, views.canonical(OTHER));
        takeBack(same);
        assertEquals(1, views.of(OTHER, EnumSet.of(Role.OUT), StoryKey.LAST).size());
    }

    @Test
    void a_name_is_found_by_a_search_and_a_later_name_counts() {
        write(new InkEvent.MixStarted(MIX, "Müsli grün", "A7KC", null, null, null));
        write(new InkEvent.Named(MIX, "river green"));
        assertEquals("river green", views.thing(MIX).orElseThrow().name());
        assertEquals(MIX, views.named("mix", "RIVER GREEN").id());
        assertEquals(MIX, views.named("mix", "a7kc").id());
        assertFalse(
                views.timeline(Timeline.Filter.newest(10).searching("musli"))
                        .events()
                        .isEmpty(),
                "accents do not matter");
        assertTrue(views.timeline(Timeline.Filter.newest(10).searching("nothing-like-it"))
                .events()
                .isEmpty());
    }

    @Test
    void pages_of_the_timeline_join_without_gap_or_repeat() {
        for (int i = 0; i < 25; i++) {
            write(added(CAN, i + ".5"));
        }
        List<EventId> paged = new ArrayList<>();
        Timeline.Filter filter = Timeline.Filter.newest(7).about(MIX);
        Timeline.Page page = views.timeline(filter);
        while (true) {
            page.events().forEach(told -> paged.add(told.id()));
            if (page.next().isEmpty()) {
                break;
            }
            page = views.timeline(filter.goingOn(page.next().get()));
        }
        List<EventId> all = new ArrayList<>(story(MIX).stream().map(Told::id).toList());
        Collections.reverse(all);
        assertEquals(all, paged);
    }

    @Test
    void several_readers_and_a_writer_never_wait_for_one_another_for_ever() {
        write(new LogEvent.SameThing(CAN, OTHER));
        org.junit.jupiter.api.Assertions.assertTimeoutPreemptively(java.time.Duration.ofSeconds(60), () -> {
            List<Thread> threads = new ArrayList<>();
            for (int t = 0; t < 3; t++) {
                int number = t;
                Thread thread = new Thread(() -> {
                    for (int i = 0; i < 150; i++) {
                        if (number == 0) {
                            write(added(CAN, "1.0"));
                        } else {
                            views.timeline(Timeline.Filter.newest(5).about(OTHER));
                            views.thing(new ThingId("mix-" + i));
                            views.of(MIX, EnumSet.of(Role.IN), StoryKey.LAST);
                        }
                    }
                });
                threads.add(thread);
                thread.start();
            }
            for (Thread thread : threads) {
                thread.join();
            }
        });
        assertEquals(150, views.of(MIX, EnumSet.of(Role.IN), StoryKey.LAST).size());
    }

    private static Timeline.Filter filter(String type, ThingId thing, String search, boolean changed, long known) {
        return new Timeline.Filter(
                type,
                Optional.ofNullable(thing),
                Optional.empty(),
                search,
                "",
                0,
                Long.MAX_VALUE - 1,
                known,
                changed,
                50);
    }

    @Test
    void every_condition_of_a_filter_counts_at_once() {
        Stored move = write(added(CAN, "1.0"));
        write(new InkEvent.Named(MIX, "tidal green"));
        Stored other = write(new InkEvent.Named(OTHER, "tidal grey"));
        assertEquals(
                1,
                views.timeline(filter("ink.named", MIX, "tidal", false, Long.MAX_VALUE))
                        .events()
                        .size());
        assertEquals(
                2,
                views.timeline(filter("ink", null, "tidal", false, Long.MAX_VALUE)).events().stream()
                        .filter(told -> told.event() instanceof InkEvent.Named)
                        .count());
        assertEquals(
                0,
                views.timeline(filter("shelf", MIX, "tidal", false, Long.MAX_VALUE))
                        .events()
                        .size());
        assertEquals(
                0,
                views.timeline(filter("ink", MIX, "", true, Long.MAX_VALUE))
                        .events()
                        .size());
        amend(move, added(CAN, "2.0"));
        assertEquals(
                1,
                views.timeline(filter("ink", MIX, "", true, Long.MAX_VALUE))
                        .events()
                        .size());
        long then = other.envelope().recorded() - 1;
        assertTrue(views.timeline(filter("", null, "", false, then)).events().stream()
                .allMatch(told -> told.envelope().recorded() <= then));
    }

    /** In whatever pieces the lists were made anew, and however few events a past timeline looks through one by one. */
    @ParameterizedTest
    @ValueSource(ints = {1, 3, 7, 5_000})
    void lists_made_anew_tell_what_those_that_followed_tell(int atATime) throws IOException {
        List<Stored> written = new ArrayList<>();
        for (int i = 0; i < 150; i++) {
            StudioEvent event = something(written);
            Happened happened = random.nextInt(3) == 0
                    ? Happened.exactly(
                            Samples.NOW.toEpochMilli() - 60_000 - random.nextInt(20) * 86_400_000L, ZoneOffset.UTC)
                    : Happened.exactly(Samples.NOW.toEpochMilli() - 60_000 + i, ZoneOffset.UTC);
            EventId after = random.nextInt(4) == 0 && i > 0 ? id(written.get(random.nextInt(i))) : null;
            written.add(write(event, happened, after));
        }
        List<Long> moments = written.stream()
                .map(stored -> stored.envelope().recorded())
                .filter(recorded -> random.nextInt(5) == 0)
                .toList();
        assertTrue(moments.size() > 10);
        Path other = Files.createDirectories(folder.resolve("anew"));
        try (Views anew = Views.following(log, other, atATime, 0)) {
            anew.catchUp();
            for (ThingId thing : List.of(CAN, OTHER, MIX, new ThingId("mix-2"))) {
                assertEquals(views.thing(thing), anew.thing(thing));
                assertEquals(
                        views.of(thing, EnumSet.allOf(Role.class), StoryKey.LAST),
                        anew.of(thing, EnumSet.allOf(Role.class), StoryKey.LAST));
            }
            for (String kind : List.of("", "ink", "ink.named", "log")) {
                for (long moment : moments) {
                    assertEquals(
                            paged(views, filter(kind, null, "", false, moment)),
                            paged(anew, filter(kind, null, "", false, moment)),
                            kind + " at " + moment);
                }
                assertEquals(
                        paged(views, filter(kind, null, "", true, Long.MAX_VALUE)),
                        paged(anew, filter(kind, null, "", true, Long.MAX_VALUE)));
            }
            assertEquals(
                    paged(views, filter("", null, "slip", false, Long.MAX_VALUE)),
                    paged(anew, filter("", null, "slip", false, Long.MAX_VALUE)));
        }
    }

    private StudioEvent something(List<Stored> written) {
        ThingId mix = random.nextBoolean() ? MIX : new ThingId("mix-2");
        int kind = written.isEmpty() ? 0 : random.nextInt(8);
        EventId target = written.isEmpty() ? null : id(written.get(random.nextInt(written.size())));
        return switch (kind) {
            case 0 -> new InkEvent.MixStarted(mix, "grey " + written.size(), null, null, null, null);
            case 1 -> new InkEvent.Named(mix, "called " + written.size());
            case 2 -> new LogEvent.Voided(target, "a slip");
            case 3, 4 ->
                new LogEvent.Amended(
                        target,
                        List.of(target),
                        null,
                        Happened.exactly(
                                Samples.NOW.toEpochMilli() - 60_000 - random.nextInt(40) * 86_400_000L, ZoneOffset.UTC),
                        random.nextBoolean() ? id(written.get(random.nextInt(written.size()))) : null,
                        "misread");
            default -> added(random.nextBoolean() ? CAN : OTHER, written.size() + ".5");
        };
    }

    private static List<EventId> paged(Views views, Timeline.Filter filter) {
        List<EventId> ids = new ArrayList<>();
        Timeline.Filter small = new Timeline.Filter(
                filter.type(),
                filter.thing(),
                filter.person(),
                filter.search(),
                "",
                filter.from(),
                filter.to(),
                filter.knownUntil(),
                filter.changedOnly(),
                9);
        Timeline.Page page = views.timeline(small);
        page.events().forEach(told -> ids.add(told.id()));
        while (page.next().isPresent()) {
            page = views.timeline(small.goingOn(page.next().get()));
            page.events().forEach(told -> ids.add(told.id()));
        }
        return ids;
    }

    @Test
    void no_query_that_a_page_waits_for_reads_a_whole_table() {
        views.plans()
                .forEach((query, plan) -> plan.forEach(step -> assertFalse(
                        step.matches("SCAN (item|mention|part|thing)( .*)?") && !step.contains("USING"),
                        query + ": " + plan)));
        assertTrue(views.plans().size() >= 6);
    }

    private static Happened at(String instant) {
        return Happened.exactly(Instant.parse(instant).toEpochMilli(), ZoneOffset.UTC);
    }
}
