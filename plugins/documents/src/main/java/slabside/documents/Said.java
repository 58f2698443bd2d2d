package slabside.documents;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Predicate;
import slabside.looks.Mixed;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.StudioView;

/** Numbers and days as papers show them, and what was said last of a thing. */
final class Said {
    private static final int MOST_PAGES = 20;

    private Said() {}

    static String grams(double grams) {
        return String.format(Locale.ROOT, "%.2f", grams);
    }

    static String grams(Uncertain grams) {
        return grams(grams.value());
    }

    /** A part of one, in per cent. */
    static String percent(double part) {
        return String.format(Locale.ROOT, "%.2f", part * 100);
    }

    static String money(double sum) {
        return String.format(Locale.ROOT, "%.2f", sum);
    }

    /** A day, where the studio is. */
    static LocalDate day(long millis, StudioView studio) {
        return Instant.ofEpochMilli(millis).atZone(ZoneId.of(studio.zone())).toLocalDate();
    }

    /** Hours and minutes, where the studio is. */
    static String time(long millis, StudioView studio) {
        LocalTime time =
                Instant.ofEpochMilli(millis).atZone(ZoneId.of(studio.zone())).toLocalTime();
        return String.format(Locale.ROOT, "%02d:%02d", time.getHour(), time.getMinute());
    }

    /** The newest entry of a type that concerns a thing. */
    static Optional<StudioView.Moment> last(String type, String thing, StudioView studio) {
        return last(moment -> moment.type().equals(type), thing, studio);
    }

    static Optional<StudioView.Moment> last(Predicate<StudioView.Moment> wanted, String thing, StudioView studio) {
        String next = "";
        for (int i = 0; i < MOST_PAGES; i++) {
            StudioView.Page page = studio.story(thing, next);
            Optional<StudioView.Moment> found =
                    page.moments().stream().filter(wanted).findFirst();
            if (found.isPresent() || page.next().isEmpty()) {
                return found;
            }
            next = page.next();
        }
        return Optional.empty();
    }

    /** What was said last of a thing in a field of entries of a type; an empty text when nothing was. */
    static String field(String type, String field, String thing, StudioView studio) {
        return last(type, thing, studio)
                .map(moment -> moment.fields().at(field).text())
                .orElse("");
    }

    /**
     * What is in an ink, or was before it was used up.
     *
     * @throws BadInput naming the question, when nothing that was in it is written down
     */
    static StudioView.Composition filled(String id, String question, StudioView studio) {
        StudioView.Composition in = Mixed.filled(id, studio);
        if (in.shares().isEmpty()) {
            throw new BadInput(
                    question, in.name(), "nothing that was in it is written down; pick a mix that holds ink");
        }
        return in;
    }

    /** The run for which a mix was started; not one that was started to make it again. */
    static Optional<StudioView.Thing> runOf(String mix, StudioView studio) {
        return last(
                        moment -> moment.type().equals("ink.mix-started")
                                && moment.fields().at("mix").text().equals(mix),
                        mix,
                        studio)
                .map(started -> started.fields().at("run").text())
                .flatMap(run -> studio.thing("run", run));
    }

    /** A thing by its id, whatever it is. */
    static Optional<StudioView.Thing> thing(String id, StudioView studio, String... kinds) {
        return List.of(kinds).stream()
                .flatMap(kind -> studio.thing(kind, id).stream())
                .findFirst();
    }
}
