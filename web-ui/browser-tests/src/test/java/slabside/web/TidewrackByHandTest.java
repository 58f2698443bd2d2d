package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.edition.Run;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.log.Stored;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.studio.Studio;
import slabside.views.Thing;
import slabside.views.Told;

/**
 * Scenario A, five runs from the first can to the last ground stone, entered through the screens alone: each of its events
 * by the page on which a printer would write it. The two logs then answer the same.
 */
class TidewrackByHandTest {
    private static final LocalDate TODAY = LocalDate.parse("2026-11-20");

    @TempDir
    Path folder;

    private final Map<ThingId, ThingId> known = new LinkedHashMap<>();
    private final MovedClock clock = new MovedClock(Instant.parse("2024-11-01T06:00:00Z"));
    private final List<String> stops = new ArrayList<>();
    private final List<String> complaints = new ArrayList<>();
    private Studio told;
    private Studio studio;
    private Server server;
    private Page page;
    private int byTheirOwnPage;

    @Test
    void scenario_a_entered_through_the_screens_alone_answers_as_the_imported_one() {
        Path imported = folder.resolve("told");
        Demo.write(imported, folder.resolve("config"), TODAY, ZoneOffset.UTC);
        try (Chromium chromium = new Chromium();
                Studio first = Studio.open(imported, folder.resolve("config"), Clock.systemUTC());
                Studio second = Studio.open(folder.resolve("data"), folder.resolve("config-2"), clock);
                Server serving = Server.start(second, 0);
                Page opened = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(820, 1100))) {
            told = first;
            studio = second;
            server = serving;
            page = opened;
            page.setDefaultTimeout(15_000);
            page.onConsoleMessage(message -> {
                if (message.type().equals("error")) {
                    complaints.add(message.text());
                }
            });
            told.views().catchUp();
            List<Stored> events = told.log().read(0, 100_000).stream()
                    .filter(TidewrackByHandTest::isOfScenarioA)
                    .toList();
            assertTrue(events.size() > 600, "the scenario has " + events.size() + " events");
            for (int i = 0; i < events.size(); i++) {
                i += enter(events, i);
            }
            compare();
            assertTrue(byTheirOwnPage > 350, "only " + byTheirOwnPage + " were entered at bench and press");
            assertTrue(
                    stops.stream().anyMatch(stop -> stop.contains("that edition is not closed")),
                    "grinding off before the edition was closed had to be confirmed: " + stops);
            assertEquals(
                    List.of(),
                    complaints.stream().filter(text -> !text.contains("409")).toList());
        }
    }

    /** The studio's materials and tools, its new cans, and the five runs; the other scenarios fall on other days. */
    private static boolean isOfScenarioA(Stored stored) {
        long before = java.time.temporal.ChronoUnit.DAYS.between(
                Instant.ofEpochMilli(stored.envelope().recorded())
                        .atZone(ZoneOffset.UTC)
                        .toLocalDate(),
                TODAY);
        return !(stored.event() instanceof LogEvent) && (before == 740 || before == 75 || before <= 64 && before > 22);
    }

    /** Enters an event by its page; returns how many of the following were entered by the same tap. */
    private int enter(List<Stored> events, int i) {
        Stored stored = events.get(i);
        StudioEvent event = stored.event();
        clock.to(Instant.ofEpochMilli(stored.envelope().recorded()));
        long before = studio.log().last();
        byTheirOwnPage++;
        if (event instanceof InkEvent.MixStarted e) {
            start(e);
        } else if (event instanceof InkEvent.Moved e && e.why() == Why.ADDED) {
            add(e);
        } else if (event instanceof InkEvent.Moved e && e.why() == Why.TESTED) {
            takeOut(e);
        } else if (event instanceof InkEvent.Moved e && e.why() == Why.CHARGED) {
            charge(e);
        } else if (event instanceof InkEvent.Moved e && e.why() == Why.WRAPPED) {
            InkEvent.Wrapped wrapped = (InkEvent.Wrapped) events.get(i + 1).event();
            bench(e.from());
            unfold("Wrap");
            page.fill("form[action$='/wrap'] [name=place]", String.valueOf(wrapped.place()));
            submit("/wrap", ".go");
            learn(before, event);
            return 1;
        } else if (event instanceof InkEvent.Moved e && e.why() == Why.WASHED_UP && endsTheRun(events, i)) {
            return cleanUp(events, i);
        } else if (event instanceof InkEvent.Worked e) {
            bench(e.vessel());
            unfold("Worked it");
            submit("/work", "[value='" + e.durationMs() / 60_000 + "']");
        } else if (event instanceof PressEvent.RunStarted e) {
            setUp(e, events.subList(i + 1, i + 8));
        } else if (event instanceof PressEvent.Pulled e && e.mode() != PullMode.CANCELLATION) {
            pull(e);
        } else if (event instanceof PressEvent.Racked e) {
            press(e.run());
            unfold("Rack, stack");
            submit("/rack", "[value=racked]");
        } else if (event instanceof PressEvent.Measured e) {
            measure(e);
        } else if (event instanceof EditionEvent.Curated e) {
            curate(e);
        } else if (event instanceof EditionEvent.Numbered) {
            return number(events, i);
        } else if (event instanceof EditionEvent.Signed e) {
            edition(e.edition(), "Sign");
            withSheets(
                    "sign", e.sheets(), Map.of("by", called(e.by().text()), "where", e.where(), "medium", e.medium()));
        } else if (event instanceof EditionEvent.Chopped e) {
            edition(e.edition(), "Chop");
            withSheets("chop", e.sheets(), Map.of("chop", e.chop()));
        } else if (event instanceof EditionEvent.Finished e) {
            edition(e.edition(), "Finish by hand");
            withSheets("finish", e.sheets(), Map.of("words", e.words()));
        } else if (event instanceof EditionEvent.Released e) {
            edition(e.edition(), "Release");
            withSheets("release", e.sheets(), Map.of("to", called(e.to().text()), "words", e.words()));
        } else if (event instanceof EditionEvent.Closed e) {
            edition(e.edition(), "Close the edition");
            submit("/close", ".go");
        } else {
            byTheirOwnPage--;
            byForm(event);
        }
        learn(before, event);
        return 0;
    }

    // ---- the pages

    private void open(String path) {
        page.navigate(server.address() + path);
    }

    private void bench(ThingId mix) {
        open("/bench/" + now(mix));
    }

    private void press(ThingId run) {
        open("/press/" + now(run));
    }

    private void unfold(String title) {
        page.locator(".deeds summary", new Page.LocatorOptions().setHasText(title))
                .click();
    }

    private void submit(String form, String button) {
        submit(page.locator("form[action$='" + form + "'] " + button).first());
    }

    private void submit(Locator button) {
        long before = studio.log().last();
        button.click();
        long deadline = System.nanoTime() + 15_000_000_000L;
        while (studio.log().last() == before && System.nanoTime() < deadline) {
            page.waitForTimeout(3);
            Locator yes = page.locator("dialog.stop button >> text=Yes, that is right");
            if (yes.count() > 0) {
                page.locator("dialog.stop [data-rule]").allInnerTexts().forEach(stops::add);
                yes.click();
            }
        }
        if (studio.log().last() == before) {
            throw new AssertionError(
                    "nothing was written: " + page.locator("body").innerText());
        }
        com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat(page.locator("body"))
                .hasAttribute("data-busy", "no");
        studio.views().catchUp();
    }

    private void start(InkEvent.MixStarted event) {
        open("/bench");
        page.fill("form[action='/bench/start'] [name=name]", String.valueOf(event.name()));
        page.selectOption(
                "form[action='/bench/start'] [name=run]", now(event.run()).text());
        submit("/bench/start", ".go");
    }

    private void add(InkEvent.Moved event) {
        Amount.Weighed weighed = (Amount.Weighed) event.amount();
        bench(event.to());
        page.locator(".pick input[value='" + now(event.from()) + "']")
                .locator("xpath=..")
                .click();
        page.locator("[name=way][value=cup]").locator("xpath=..").click();
        if (page.locator(".adding [name=reading]").getAttribute("data-before").isEmpty()) {
            page.fill(".adding [name=tare]", tenths(weighed.beforeMg()));
        }
        page.fill(".adding [name=reading]", tenths(weighed.afterMg()));
        page.fill(".adding [name=words]", event.words() == null ? "" : event.words());
        submit(page.locator(".adding .go"));
    }

    private static String tenths(long mg) {
        return new Mass(mg).shown(new Mass(100)).replace(" g", "");
    }

    private static String grams(Amount amount) {
        return amount.shown().replace(" g", "");
    }

    private void takeOut(InkEvent.Moved event) {
        bench(event.from());
        unfold("Take out");
        page.fill("form[action$='/out'] [name=grams]", grams(event.amount()));
        page.fill("form[action$='/out'] [name=words]", String.valueOf(event.words()));
        submit("/out", ".go");
    }

    private void charge(InkEvent.Moved event) {
        press(told.views().thing(event.to()).map(load -> new ThingId(load.of())).orElseThrow());
        unfold("Charge the slab");
        Locator form = page.locator("form[action$='/charge']")
                .filter(new Locator.FilterOptions()
                        .setHas(page.locator("[name=load][value='" + now(event.to()) + "']")));
        form.locator("[name=mix]").selectOption(now(event.from()).text());
        form.locator("[name=grams]").fill(grams(event.amount()));
        submit(form.locator("button"));
    }

    /** Chooses the inks that the next charges bring, one for each load. */
    private void setUp(PressEvent.RunStarted event, List<Stored> following) {
        press(event.run());
        List<ThingId> mixes = following.stream()
                .filter(stored -> stored.event() instanceof InkEvent.Moved)
                .map(stored -> ((InkEvent.Moved) stored.event()).from())
                .distinct()
                .limit(event.loads().size())
                .toList();
        for (int i = 0; i < mixes.size(); i++) {
            page.locator("form[action$='/set-up'] [name=mix]")
                    .nth(i)
                    .selectOption(now(mixes.get(i)).text());
        }
        page.selectOption(
                "form[action$='/set-up'] [name=roller]", now(event.roller()).text());
        page.selectOption(
                "form[action$='/set-up'] [name=paper]", now(event.paper()).text());
        page.selectOption("form[action$='/set-up'] [name=surface]", EventCodec.word(event.surface()));
        if (event.windowUm() != null) {
            page.fill("form[action$='/set-up'] [name=window]", String.valueOf(event.windowUm() / 1000));
        }
        submit("/set-up", ".go");
    }

    private void pull(PressEvent.Pulled event) {
        open("/press/" + now(event.run()) + "?mode=" + EventCodec.word(event.mode()));
        if (event.sheet() != null) {
            String next = page.inputValue("[data-sheet]");
            String wanted = now(event.sheet()).text();
            if (event.mode() == PullMode.EDITION) {
                assertEquals(wanted, next, "the next sheet comes by itself");
            } else {
                page.selectOption("[data-sheet]", wanted);
            }
        }
        page.fill("[name=passes]", String.valueOf(event.passes()));
        submit(page.locator("[data-key='" + (event.grade() == PressGrade.GOOD ? "pull" : "s") + "']"));
        for (String fault : event.faults()) {
            long before = studio.log().last();
            Locator named = page.locator("form[action$='/fault'] button[value='" + fault + "']");
            if (named.count() > 0) {
                submit(named.first());
            } else {
                page.fill("form[action$='/fault'] input[name=fault]:not([type=hidden])", fault);
                submit(page.locator("form[action$='/fault'] button >> text=Name it"));
            }
            assertTrue(studio.log().last() > before);
        }
    }

    /** Washed up at the end, not before a fresh charge of the same run. */
    private static boolean endsTheRun(List<Stored> events, int i) {
        for (Stored next : events.subList(i, events.size())) {
            if (next.event() instanceof PressEvent.Pulled || next.event() instanceof PressEvent.CleanedUp) {
                return next.event() instanceof PressEvent.CleanedUp;
            }
        }
        return false;
    }

    /** What was washed off each load, and the clean-up, which ends the day at the press in one tap. */
    private int cleanUp(List<Stored> events, int first) {
        Map<ThingId, String> washed = new LinkedHashMap<>();
        int i = first;
        while (!(events.get(i).event() instanceof PressEvent.CleanedUp)) {
            StudioEvent event = events.get(i).event();
            if (event instanceof InkEvent.Moved e && e.why() == Why.WASHED_UP) {
                washed.put(e.from(), grams(e.amount()));
            } else {
                i += enter(events, i);
            }
            i++;
        }
        PressEvent.CleanedUp end = (PressEvent.CleanedUp) events.get(i).event();
        press(end.run());
        unfold("Clean up");
        List<ThingId> loads = told.runs().run(end.run()).orElseThrow().loads();
        for (int load = 0; load < loads.size(); load++) {
            page.locator("form[action$='/clean-up'] [name=washed]")
                    .nth(load)
                    .fill(washed.getOrDefault(loads.get(load), ""));
        }
        submit("/clean-up", ".go");
        return i - first;
    }

    private void measure(PressEvent.Measured event) {
        press(event.run());
        unfold("Measure");
        String form = "form[action$='/measure'] ";
        page.selectOption(form + "[name=sheet]", now(event.sheet()).text());
        page.fill(form + "[name=quantity]", event.quantity());
        page.fill(form + "[name=value]", event.value().toPlainString());
        page.fill(form + "[name=unit]", event.unit() == null ? "" : event.unit());
        page.fill(form + "[name=place]", event.place() == null ? "" : event.place());
        submit("/measure", ".go");
    }

    private void edition(ThingId edition, String deed) {
        open("/edition/" + now(edition));
        unfold(deed);
    }

    private void withSheets(String deed, List<ThingId> sheets, Map<String, String> fields) {
        String form = "form[action$='/" + deed + "'] ";
        page.fill(form + "[name=which]", shown(sheets));
        fields.forEach((name, value) -> page.fill(form + "[name=" + name + "]", value));
        submit("/" + deed, ".go");
    }

    private String shown(List<ThingId> sheets) {
        return slabside.edition.SheetCodes.shown(sheets.stream().map(told::name).toList());
    }

    private void curate(EditionEvent.Curated event) {
        open("/edition/" + now(event.edition()) + "/curate");
        assertEquals(
                now(event.sheet()).text(), page.inputValue(".curating [name=sheet]"), "the next sheet comes by itself");
        if (event.words() != null) {
            page.fill(".curating [name=words]", event.words());
        }
        submit(page.locator(".curating [value='" + EventCodec.word(event.grade()) + "']"));
    }

    /** Sheets that were numbered alike, one after the other, are numbered in one go; proofs have a form of their own. */
    private int number(List<Stored> events, int first) {
        List<ThingId> sheets = new ArrayList<>();
        int i = first;
        while (i < events.size()
                && alike(events.get(first).event(), events.get(i).event(), i - first)) {
            sheets.add(sheet(events.get(i).event()));
            i++;
        }
        EditionEvent.Numbered event = (EditionEvent.Numbered) events.get(first).event();
        long before = studio.log().last();
        open("/edition/" + now(event.edition()) + "/number");
        Locator forms = page.locator("form[action$='/number']");
        if (forms.count() == 0) {
            // The OK proof and colour trial proofs are none of the curated sheets.
            byTheirOwnPage--;
            open("/write/edition.numbered");
            fill(event, Map.of("sheet", shown(sheets)));
            submit(page.locator("form[data-tap] .go").first());
        } else {
            boolean isNumbered = event.kind() == slabside.event.ImpressionKind.NUMBERED;
            Locator form = isNumbered ? forms.first() : forms.last();
            if (!isNumbered) {
                form.locator("[name=kind]").selectOption(EventCodec.word(event.kind()));
            }
            form.locator("[name=which]").fill(shown(sheets));
            form.locator("[name=number]")
                    .fill(event.number() == null ? "" : event.number().toString());
            form.locator("[name=of]").fill(event.of() == null ? "" : event.of().toString());
            submit(form.locator(".go"));
        }
        assertEquals(sheets.size(), studio.log().last() - before);
        return sheets.size() - 1;
    }

    private static ThingId sheet(StudioEvent event) {
        return ((EditionEvent.Numbered) event).sheet();
    }

    private static boolean alike(StudioEvent first, StudioEvent next, int n) {
        return first instanceof EditionEvent.Numbered a
                && next instanceof EditionEvent.Numbered b
                && a.kind() == b.kind()
                && (a.number() == null
                        ? b.number() == null
                        : Integer.valueOf(a.number() + n).equals(b.number()));
    }

    private void byForm(StudioEvent event) {
        open("/write/" + Catalogue.of(event).type());
        Map<String, String> own = new LinkedHashMap<>();
        EventCodec.fields((Record) event).forEach((name, value) -> {
            if (value instanceof Amount amount && !(amount instanceof Amount.Rest)) {
                own.put(name, amount.shown());
            }
        });
        fill(event, own);
        submit(page.locator("form[data-tap] .go").first());
    }

    /** Types what an event says into the form of its kind. */
    private void fill(StudioEvent event, Map<String, String> own) {
        for (EventForm.Field field : new EventForm(studio).fields(translated(event))) {
            String value = own.getOrDefault(field.name(), called(field.value()));
            String input = "form[data-tap] [name='" + field.name() + "']";
            if (field.control().equals("several")) {
                field.marked().stream()
                        .filter(mark -> !mark.isEmpty())
                        .forEach(mark -> page.locator(input + "[value='" + mark + "']")
                                .locator("xpath=..")
                                .click());
            } else if (field.control().equals("select")) {
                page.selectOption(input, field.value());
            } else {
                page.fill(input, value);
            }
        }
    }

    /** People who were not named yet are typed by name. */
    private String called(String text) {
        String called = text;
        for (Map.Entry<String, String> person : told.people().all().entrySet()) {
            called = called.replace(person.getKey(), person.getValue());
        }
        return called;
    }

    // ---- which thing of the one log is which of the other

    private ThingId now(ThingId then) {
        ThingId now = known.get(then);
        assertTrue(now != null, () -> then + " was not entered yet");
        return now;
    }

    private StudioEvent translated(StudioEvent event) {
        String body = EventCodec.body(event).toString();
        for (Map.Entry<ThingId, ThingId> pair : known.entrySet()) {
            body = body.replace("\"" + pair.getKey() + "\"", "\"" + pair.getValue() + "\"");
        }
        Catalogue.Entry entry = Catalogue.of(event);
        return EventCodec.read(entry.type(), entry.version(), EventCodec.tree(body));
    }

    /** Pairs the things of an event with those of the one that was written for it. */
    private void learn(long before, StudioEvent event) {
        StudioEvent written = studio.log().read(before, 10).stream()
                .map(Stored::event)
                .filter(each -> each.getClass() == event.getClass())
                .findFirst()
                .orElseThrow();
        List<ThingId> then = EventCodec.about(event);
        List<ThingId> now = EventCodec.about(written);
        assertEquals(then.size(), now.size(), () -> event + " became " + written);
        for (int i = 0; i < then.size(); i++) {
            ThingId pair = known.putIfAbsent(then.get(i), now.get(i));
            assertTrue(pair == null || pair.equals(now.get(i)), "two things for " + then.get(i));
        }
    }

    // ---- the same answers

    private void compare() {
        ThingId then = told.views().named("edition", "Tidewrack, Four Fathoms").id();
        ThingId now = now(then);
        for (int order = 1; order <= 5; order++) {
            Run one = told.runs().runOf(then, order);
            Run two = studio.runs().runOf(now, order);
            assertEquals(one.printed(), two.printed(), "pulls of run " + order);
            assertEquals(one.beforeTheEdition(), two.beforeTheEdition());
            for (PressGrade grade : PressGrade.values()) {
                assertEquals(one.graded(grade), two.graded(grade), grade + " of run " + order);
            }
            assertEquals(
                    told.ledger().perPull(one.id()).orElseThrow().grams().value(),
                    studio.ledger().perPull(two.id()).orElseThrow().grams().value(),
                    1e-9);
            for (int n = 1; n <= one.printed(); n++) {
                List<Contents> loads = told.runs().loadsAt(one.pull(n));
                List<Contents> same = studio.runs().loadsAt(two.pull(n));
                assertEquals(loads.size(), same.size());
                for (int load = 0; load < loads.size(); load++) {
                    assertEquals(shares(told, loads.get(load)), shares(studio, same.get(load)), "load at pull " + n);
                }
                assertEquals(one.pull(n).event().grade(), two.pull(n).event().grade());
                assertEquals(one.pull(n).event().faults(), two.pull(n).event().faults());
                assertEquals(
                        told.name(one.pull(n).sheet()), studio.name(two.pull(n).sheet()));
            }
        }
        for (Thing mix : told.views().things("mix", "", 200)) {
            if (known.containsKey(mix.id())) {
                assertEquals(left(told, mix.id()), left(studio, now(mix.id())), 1e-9, mix.name());
            }
        }
        for (String lot : List.of(
                "TB-2408", "WH-5102", "YL-1163", "YO-0447", "RR-2210", "PB-3315", "PG-0820", "VI-0091", "BK-7740",
                "BR-0312")) {
            ThingId can = told.views().named("can", lot).id();
            double used =
                    lot.equals("TB-2408") || lot.equals("PB-3315") || lot.equals("BK-7740") || lot.equals("WH-5102")
                            ? usedBySlackWater(can)
                            : 0;
            assertEquals(left(told, can) + used, left(studio, now(can)), 1e-6, lot);
        }
        assertEquals(impressions(told, then), impressions(studio, now));
        assertFalse(impressions(studio, now).isEmpty());
        assertEquals(
                told.views().ofType("edition.curated", 500).size(),
                studio.views().ofType("edition.curated", 500).size());
        assertEquals(papers(told, then), papers(studio, now), "what the papers ask for");
        assertEquals(ends(told).toString(), ends(studio).toString(), "what became of each stone and plate");
        assertTrue(studio.log().verify().wrong().isEmpty());
    }

    /** Every fact for the papers but whose hands were at the press: the other one was written by its invented printers. */
    private static String papers(Studio where, ThingId edition) {
        return new slabside.host.EditionFacts(where.views(), where.runs(), where::name)
                .of(edition).stream()
                        .flatMap(group -> group.facts().stream()
                                .filter(fact -> !fact.field().equals("Printers and assistants"))
                                .map(fact -> group.heading() + ", " + fact.field() + ": "
                                        // Each studio gives its mixes short ids of its own.
                                        + fact.value().orElse("unknown").replaceAll(" \\([A-Z0-9]{4}\\)", "")))
                        .collect(java.util.stream.Collectors.joining("\n"));
    }

    /** The other scenarios took from the same cans. */
    private double usedBySlackWater(ThingId can) {
        return told.ledger().steps(can).stream()
                .filter(step -> step.from().equals(can))
                .filter(step -> told.views()
                        .thing(step.to())
                        .map(Thing::name)
                        .orElse("")
                        .startsWith("Slack water"))
                .mapToDouble(step -> step.grams().orElseThrow().value())
                .sum();
    }

    private static double left(Studio where, ThingId vessel) {
        return where.ledger().left(vessel).grams().orElseThrow().value();
    }

    private static Map<String, Double> shares(Studio where, Contents contents) {
        Map<String, Double> shares = new TreeMap<>();
        contents.byMaterial(where.ledger()::material)
                .forEach(part -> shares.put(
                        where.name(part.id()), Math.round(part.share().value() * 1e9) / 1e9));
        return shares;
    }

    private static Map<String, String> impressions(Studio where, ThingId edition) {
        Map<String, String> impressions = new TreeMap<>();
        for (Told each : where.views().ofType("edition.numbered", 500)) {
            EditionEvent.Numbered e = (EditionEvent.Numbered) each.event();
            if (e.edition().equals(edition)) {
                impressions.put(where.name(e.sheet()), e.kind() + " " + e.number() + "/" + e.of());
            }
        }
        return impressions;
    }

    private static Map<String, String> ends(Studio where) {
        Map<String, String> ends = new TreeMap<>();
        for (Told each : where.views().ofType("stone.disposed", 50)) {
            slabside.event.StoneEvent.Disposed e = (slabside.event.StoneEvent.Disposed) each.event();
            ends.put(where.name(e.stone()), e.end() + " " + e.method() + " " + e.cancellation());
        }
        return ends;
    }
}
