package slabside.web;

import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.keeping.Backups;
import slabside.keeping.Daily;
import slabside.log.Head;
import slabside.log.Stored;
import slabside.log.Verification;
import slabside.measure.BadInput;
import slabside.studio.Attachments;
import slabside.studio.Synchronised;

/** Whether the log is whole: where it is, how far it has come, what was noticed. */
final class SafekeepingPage {
    private static final int COPIES_SHOWN = 8;
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH);

    private final Desk desk;
    private final Daily daily;

    SafekeepingPage(Desk desk, Daily daily) {
        this.desk = desk;
        this.daily = daily;
    }

    /**
     * @param synchronised a warning of the folder that it is in, or an empty text
     * @param verified what a full reading just found; empty when it was not asked for
     */
    public record Shown(
            Frame frame,
            String file,
            boolean onServer,
            long events,
            List<Head> heads,
            List<String> notices,
            String synchronised,
            Optional<Verification> verified,
            Optional<Attachments.Check> attached,
            List<Desk.Choice> people,
            Copies copies) {}

    /**
     * @param folder where copies lie
     * @param newest of them, newest first
     * @param all how many there are
     * @param trouble why the last one was not made, or an empty text
     */
    public record Copies(String folder, List<String> newest, int all, String trouble) {}

    private Copies copies() {
        List<Backups.Copy> all = daily.backups().all();
        return new Copies(
                daily.backups().folder().toString(),
                all.stream()
                        .limit(COPIES_SHOWN)
                        .map(copy -> MOMENT.format(copy.at()) + (copy.daily() ? "" : ", asked for"))
                        .toList(),
                all.size(),
                daily.trouble().orElse(""));
    }

    /** The studio may stay in its folder, whatever that looks like. */
    void mayStay() {
        Synchronised.confirm(desk.studio.folder(), desk.studio.config());
    }

    /** Makes a copy now. */
    void copy() {
        daily.backups().make(desk.studio);
    }

    /** Takes the name of a person out for good. */
    void forgetName(Form form) {
        String person = form.need("person", "choose one of those on the page");
        if (!desk.studio.people().all().containsKey(person)) {
            throw new BadInput("person", person, "nobody of that id has a name here; choose one of those on the page");
        }
        sure(form);
        desk.studio.forget(
                desk.visitor().actor(), new LogEvent.Forgotten(new ThingId(person), null, null, form.words("reason")));
    }

    /** Takes a photo or memo out for good. */
    void forgetFile(String pos, Form form) {
        Stored stored = pos.matches("\\d{1,18}")
                ? desk.studio.views().line(Long.parseLong(pos))
                : desk.studio.views().line(0);
        if (!(stored.event() instanceof LogEvent.Attached attached)) {
            throw new BadInput("event", pos, "nothing was attached by this entry");
        }
        sure(form);
        desk.studio.forget(
                desk.visitor().actor(), new LogEvent.Forgotten(null, attached.sha256(), null, form.words("reason")));
    }

    private static void sure(Form form) {
        if (!form.has("sure")) {
            throw new BadInput("sure", "not ticked", "tick that it cannot be brought back, or go back");
        }
    }

    private Stream<String> notices() {
        return Stream.concat(
                desk.studio.log().notices().stream(),
                desk.studio.log().gone().stream().map(gone -> gone + ". Another machine or a backup may have them."));
    }

    private Optional<String> synchronised() {
        return Synchronised.warning(desk.studio.folder(), desk.studio.config());
    }

    /** What is the matter with the keeping of the log, in sentences; for the first page of a day. */
    List<String> toKnow() {
        return Stream.of(notices(), synchronised().stream(), daily.trouble().stream())
                .flatMap(each -> each)
                .toList();
    }

    Shown page(boolean verify) {
        return new Shown(
                desk.frame("Safekeeping", "safekeeping"),
                desk.studio.log().place(),
                desk.studio.log().isShared(),
                desk.studio.log().last(),
                desk.studio.log().heads(),
                notices().toList(),
                synchronised().orElse(""),
                verify ? Optional.of(desk.studio.log().verify()) : Optional.empty(),
                verify ? Optional.of(desk.studio.attachments().check(desk.studio.log())) : Optional.empty(),
                desk.people(),
                copies());
    }
}
