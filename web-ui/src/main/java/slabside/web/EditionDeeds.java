package slabside.web;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.Happened;
import slabside.event.ImpressionKind;
import slabside.event.Sheet;
import slabside.event.Stage;
import slabside.event.StatedFact;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.warning.Guards;

/** Everything that is done with the sheets of an edition after printing, by the name its form sends it under. */
final class EditionDeeds {
    private static final int MOST_MINUTES = 24 * 60;
    private static final int MOST_HANDS = 30;
    private static final int MOST_AT_ONCE = 250;

    private final Desk desk;
    private final Guards guards;
    private final ThingChoice things;

    /** One thing that can be done with an edition. */
    private interface Deed {
        Taps.Meant of(Edition edition, Tap tap);
    }

    private final Map<String, Deed> deeds;

    EditionDeeds(Desk desk, Guards guards) {
        this.desk = desk;
        this.guards = guards;
        this.things = new ThingChoice(desk.studio);
        this.deeds = Map.of(
                "curate", this::curate,
                "number", this::number,
                "sign", this::sign,
                "chop", this::chop,
                "finish", this::finish,
                "release", this::release,
                "return", this::comeBack,
                "time", this::time,
                "state", this::state,
                "close", this::close);
    }

    Taps.Meant of(String id, String deed, Tap tap) {
        Deed found = deeds.get(deed);
        if (found == null) {
            throw new BadInput("deed", deed, "use one of " + String.join(", ", new TreeSet<>(deeds.keySet())));
        }
        return found.of(desk.edition(id), tap);
    }

    private static String page(Edition edition) {
        return "/edition/" + edition.id();
    }

    /** One sheet as it was found, or all that are left as good. */
    private Taps.Meant curate(Edition edition, Tap tap) {
        Form form = tap.form();
        if (form.has("rest")) {
            int left = edition.toCurate().size();
            Integer shown = form.whole("rest", 1, 100_000);
            if (shown == null || shown != left) {
                throw new BadInput("sheets", form.text("rest"), "there are " + left + " now; load the page again");
            }
            if (left > MOST_AT_ONCE) {
                throw new BadInput(
                        "sheets", left, "at most " + MOST_AT_ONCE + " at once; look at some one by one first");
            }
            List<StudioEvent> events = edition.toCurate().stream()
                    .<StudioEvent>map(sheet ->
                            new EditionEvent.Curated(edition.id(), sheet.sheet(), CuratedAs.GOOD, form.words("words")))
                    .toList();
            return new Taps.Meant(events, List.of(), events.size() + " sheets good", page(edition));
        }
        ThingId sheet = form.thing("sheet", "choose the sheet that was looked at");
        CuratedAs grade = form.constant("grade", CuratedAs.class);
        List<String> why = new ArrayList<>(form.all("why"));
        why.addAll(form.all("words"));
        return Taps.Meant.of(
                edition.code(sheet) + ": " + EventCodec.word(grade),
                page(edition) + "/curate",
                new EditionEvent.Curated(edition.id(), sheet, grade, why.isEmpty() ? null : String.join(", ", why)));
    }

    /** The next good sheets, or those that are named, become impressions of one kind. */
    private Taps.Meant number(Edition edition, Tap tap) {
        Form form = tap.form();
        ImpressionKind kind = form.constant("kind", ImpressionKind.class);
        List<ThingId> sheets = form.has("sheet")
                ? List.of(form.thing("sheet", "choose a sheet"))
                : form.has("which")
                        ? edition.which("sheets", form.text("which"))
                        : next(edition, form.whole("count", 1, 255));
        Integer first = form.whole("number", 1, 100_000);
        Integer of = form.whole("of", 1, 100_000);
        List<StudioEvent> events = new ArrayList<>();
        List<EditionEvent.Numbered> numbered = new ArrayList<>();
        Register register = edition.register();
        for (int i = 0; i < sheets.size(); i++) {
            EditionEvent.Numbered event = new EditionEvent.Numbered(
                    edition.id(),
                    sheets.get(i),
                    kind,
                    first == null ? null : Integer.valueOf(first + i),
                    of,
                    form.words("style"));
            register.check(event, desk.studio.views());
            register = register.with(event);
            numbered.add(event);
            events.add(event);
        }
        String said = written(register, sheets.get(0))
                + (sheets.size() > 1 ? " to " + written(register, sheets.get(sheets.size() - 1)) : "");
        return new Taps.Meant(events, guards.numbering(numbered), said, page(edition) + "/number");
    }

    private static List<ThingId> next(Edition edition, @Nullable Integer count) {
        if (count == null) {
            throw new BadInput("how many", "", "say how many sheets, or name them");
        }
        List<Sheet> left = edition.toNumber();
        if (count > left.size()) {
            throw new BadInput("how many", count, "only " + left.size() + " good sheets have no number yet");
        }
        return left.subList(0, count).stream().map(Sheet::sheet).toList();
    }

    private static String written(Register register, ThingId sheet) {
        return Optional.ofNullable(register.impressions().get(sheet))
                .map(Register.Impression::written)
                .orElse("");
    }

    private List<ThingId> which(Edition edition, Tap tap) {
        List<ThingId> sheets =
                edition.which("which", tap.form().need("which", "write the numbers, such as 1…10, or codes of sheets"));
        return sheets;
    }

    private Optional<ThingId> person(Tap tap, String field) {
        return tap.form().has(field)
                ? Optional.of(things.meant(
                        field,
                        tap.form().text(field),
                        List.of(ThingChoice.PERSON),
                        Optional.empty(),
                        tap.thing("person")))
                : Optional.empty();
    }

    private Taps.Meant done(Edition edition, String said, List<ThingId> sheets, EditionEvent event) {
        return Taps.Meant.of(said + ": " + shown(edition, sheets), page(edition), event);
    }

    private static String shown(Edition edition, List<ThingId> sheets) {
        return sheets.size() > 6
                ? sheets.size() + " prints"
                : sheets.stream()
                        .map(sheet -> Optional.ofNullable(
                                        edition.register().impressions().get(sheet))
                                .map(Register.Impression::written)
                                .orElseGet(() -> edition.code(sheet)))
                        .collect(Collectors.joining(", "));
    }

    private Taps.Meant sign(Edition edition, Tap tap) {
        List<ThingId> sheets = which(edition, tap);
        edition.register().checkThere(sheets, desk.studio.views());
        ThingId by = person(tap, "by").orElseThrow(() -> new BadInput("by", "", "say who signed"));
        return done(
                edition,
                "Signed",
                sheets,
                new EditionEvent.Signed(
                        edition.id(),
                        sheets,
                        by,
                        tap.form().words("where"),
                        tap.form().words("medium")));
    }

    private Taps.Meant chop(Edition edition, Tap tap) {
        List<ThingId> sheets = which(edition, tap);
        edition.register().checkThere(sheets, desk.studio.views());
        String chop = tap.form().need("chop", "say which chop");
        return done(edition, "Chopped", sheets, new EditionEvent.Chopped(edition.id(), sheets, chop));
    }

    private Taps.Meant finish(Edition edition, Tap tap) {
        List<ThingId> sheets = which(edition, tap);
        edition.register().checkThere(sheets, desk.studio.views());
        List<String> done = new ArrayList<>(tap.form().all("done"));
        done.addAll(tap.form().all("words"));
        if (done.isEmpty()) {
            throw new BadInput("what was done", "", "choose or write what was done");
        }
        return done(
                edition, "Finished", sheets, new EditionEvent.Finished(edition.id(), sheets, String.join(", ", done)));
    }

    private Taps.Meant release(Edition edition, Tap tap) {
        List<ThingId> sheets = which(edition, tap);
        EditionEvent.Released event = new EditionEvent.Released(
                edition.id(), sheets, person(tap, "to").orElse(null), tap.form().words("words"));
        edition.register().check(event, desk.studio.views());
        return done(edition, "Released", sheets, event).warned(guards.releasing(event));
    }

    private Taps.Meant comeBack(Edition edition, Tap tap) {
        List<ThingId> sheets = which(edition, tap);
        EditionEvent.Returned event = new EditionEvent.Returned(
                edition.id(),
                sheets,
                person(tap, "from").orElse(null),
                tap.form().words("words"));
        edition.register().check(event, desk.studio.views());
        return done(edition, "Came back", sheets, event);
    }

    /** How long a stage took on a day, said by somebody; the day is the one named, not the one of the tap. */
    private Taps.Meant time(Edition edition, Tap tap) {
        Form form = tap.form();
        Integer minutes = form.whole("minutes", 0, MOST_MINUTES);
        if (minutes == null) {
            throw new BadInput("minutes", "", "say how many minutes by the clock");
        }
        LocalDate day;
        try {
            day = LocalDate.parse(form.need("on", "choose the day"));
        } catch (java.time.format.DateTimeParseException wrong) {
            throw new BadInput("day", form.text("on"), "write a day as 2024-05-31");
        }
        EditionEvent.TimeStated event = new EditionEvent.TimeStated(
                edition.id(),
                form.constant("stage", Stage.class),
                minutes * 60_000L,
                form.whole("hands", 1, MOST_HANDS),
                form.words("words"));
        return new Taps.Meant(
                List.of(event),
                List.of(),
                "Time put down",
                page(edition) + "#time",
                new Taps.Place(null, Happened.day(day, desk.zone)));
    }

    private Taps.Meant state(Edition edition, Tap tap) {
        StatedFact fact = tap.form().constant("fact", StatedFact.class);
        return Taps.Meant.of(
                "Stated",
                page(edition) + "#papers",
                new EditionEvent.Stated(
                        edition.id(), fact, tap.form().need("words", "say it in words, such as no, none or unknown")));
    }

    private Taps.Meant close(Edition edition, Tap tap) {
        EditionEvent.Closed event =
                new EditionEvent.Closed(edition.id(), tap.form().words("words"));
        return Taps.Meant.of("Closed", page(edition), event).warned(guards.closing(event));
    }
}
