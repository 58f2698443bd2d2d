package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.demo.Demo;
import slabside.event.Catalogue;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.StudioEvent;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** Forms drawn from records: every kind of event has one, and what a form shows it reads back. */
class EventFormTest {
    @TempDir
    static Path folder;

    private static Studio studio;
    private static EventForm form;

    @BeforeAll
    static void open() {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        Demo.write(data, config, LocalDate.now(ZoneId.systemDefault()), ZoneId.systemDefault());
        studio = Studio.open(data, config, Clock.systemDefaultZone());
        studio.views().catchUp();
        form = new EventForm(studio);
    }

    @AfterAll
    static void close() {
        studio.close();
    }

    private static Tap tap(Map<String, List<String>> values) {
        return Tap.of(
                values,
                Desk.HERE,
                Clock.systemDefaultZone(),
                EventId.tapAt(System.currentTimeMillis(), EventId.chance()));
    }

    private static Map<String, List<String>> values(List<EventForm.Field> fields) {
        Map<String, List<String>> values = new LinkedHashMap<>();
        fields.forEach(field ->
                values.put(field.name(), field.control().equals("several") ? field.marked() : List.of(field.value())));
        return values;
    }

    @Test
    void every_kind_of_event_has_a_title_and_a_form() {
        for (Catalogue.Entry entry : FormWords.written()) {
            assertFalse(FormWords.title(entry).contains("."), entry.type() + " has no title in words");
            assertFalse(form.fields(entry.event(), Map.of()).isEmpty(), entry.type());
        }
    }

    @Test
    void an_event_put_right_without_a_change_is_the_same_to_the_last_bit() {
        for (Stored stored : studio.log().read(0, 100_000)) {
            StudioEvent event = stored.event();
            if (isWritten(event)) {
                Map<String, List<String>> values = values(form.fields(event));
                assertEquals(event, form.read(event.getClass(), event, new Form(values), tap(values)));
            }
        }
    }

    /** Everything but made-up ids, what an amount was typed as, and the scale's memory of its last reading. */
    @Test
    void what_a_form_shows_of_an_event_writes_the_same_event_again() {
        Map<String, Integer> seen = new TreeMap<>();
        for (Stored stored : studio.log().read(0, 100_000)) {
            StudioEvent event = stored.event();
            String type = stored.envelope().type();
            if (!isWritten(event) || seen.merge(type, 1, Integer::sum) > 12) {
                continue;
            }
            Map<String, List<String>> values = values(form.fields(event));
            StudioEvent again =
                    form.read(event.getClass(), new Form(values), tap(values)).get(0);
            Map<String, Object> one = EventCodec.fields((Record) event);
            Map<String, Object> two = EventCodec.fields((Record) again);
            assertEquals(one.keySet(), two.keySet(), type);
            one.forEach((name, value) -> {
                String before = String.valueOf(value);
                String after = String.valueOf(two.get(name));
                boolean made = Arrays.stream(event.getClass().getRecordComponents())
                        .anyMatch(c -> c.getName().equals(name) && FormWords.introduced(c));
                boolean sheetsMade = type.equals("paper.torn") && name.equals("sheets");
                boolean amount = value instanceof slabside.measure.Amount;
                if (!made && !sheetsMade && !amount) {
                    assertEquals(before, after, type + ", " + name);
                }
            });
        }
        Set<String> covered = new TreeSet<>(seen.keySet());
        assertTrue(covered.size() > 30, "kinds of events tried: " + covered);
    }

    private static boolean isWritten(StudioEvent event) {
        return FormWords.written().stream().anyMatch(entry -> entry.event() == event.getClass());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            shelf.can-received | material=nothing such; net=500 g             | Material is "nothing such": there is no material
            shelf.can-received | net=500 g                                    | Material is "": this must be filled in
            shelf.can-received | material=violet; net=500 ounces              | use g, kg, mg or parts
            shelf.can-received | material=violet; net=500 g; price=34         | with its currency
            shelf.can-received | material=violet; net=500 g; price=34 euro    | three letters
            shelf.can-received | material=violet; net=500 g; tareMg=0.0001    | finer than can be kept
            shelf.material-listed | name=x; role=ink; screen=red              | # and six digits
            shelf.material-listed | name=x; role=inky                         | use one of
            shelf.tool-listed  | kind=roller; name=x; diameterUm=wide         | plain number
            press.pulled       | run=no run; mode=edition; grade=good         | there is no run
            edition.curated    | edition=Tidewrack, Four Fathoms; sheet=TD-99; grade=good | there is no sheet
            edition.numbered   | edition=Tidewrack, Four Fathoms; sheet=TD-05…TD-01; kind=numbered | lower number
            ink.recipe-planned | name=x; portions=violet                      | a material and its share
            ink.recipe-planned | name=x; portions=violet 130                  | up to 100 %
            press.paused       | run=Tidewrack, Four Fathoms, run 1, the shallows; gummedUp=perhaps | choose yes or no
            test.spread-measured | vessel=Heron grey HG-2; loadMg=100; volumeUl=500; readings=[{] | not readable
            """)
    void what_cannot_be_taken_is_refused_with_field_value_and_remedy(String type, String typed, String said) {
        Map<String, List<String>> values = new LinkedHashMap<>();
        for (String field : typed.split(";")) {
            int at = field.indexOf('=');
            values.put(
                    field.substring(0, at).strip(),
                    List.of(field.substring(at + 1).strip()));
        }
        Catalogue.Entry entry = Catalogue.of(type).orElseThrow();
        BadInput refused = assertThrows(BadInput.class, () -> form.read(entry.event(), new Form(values), tap(values)));
        assertTrue(String.valueOf(refused.getMessage()).contains(said), refused.getMessage());
    }
}
