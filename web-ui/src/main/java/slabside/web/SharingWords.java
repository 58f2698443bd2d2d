package slabside.web;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.plugin.Answer;
import slabside.share.Exchanged;
import slabside.share.Membership;
import slabside.studio.Studio;

/** What came from where and what is missing, in plain words; the same on the page and on the command line. */
final class SharingWords {
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH);

    private final Studio studio;
    private final ZoneId zone;

    SharingWords(Studio studio, ZoneId zone) {
        this.studio = studio;
        this.zone = zone;
    }

    private String moment(long millis) {
        return millis == 0 ? "" : MOMENT.format(Instant.ofEpochMilli(millis).atZone(zone));
    }

    /** The state of sharing after an exchange. */
    Answer told(Membership membership, Exchanged exchanged) {
        Answer answer = Answer.titled("Shared through " + membership.folder());
        if (!exchanged.trouble().isEmpty()) {
            return answer.caution(exchanged.trouble())
                    .text(
                            "Until that is mended each machine goes on with what it has. Nothing is lost; the exchange goes on by itself.");
        }
        if (exchanged.at() == 0) {
            return answer.text("Nothing was exchanged yet since the program was started; it will be within a minute.");
        }
        answer = answer.text("Exchanged last at " + moment(exchanged.at()) + came(exchanged) + ".");
        answer = answer.text(
                exchanged.isQuiet()
                        ? "Everything that any machine is known to have written is here."
                        : "What needs a look stands below. Nothing of it keeps anybody from working, and nothing is lost by it.");
        answer = answer.table(
                "Machines",
                List.of("machine", "its entries here", "newest of them", "not here yet", "last heard of"),
                exchanged.machines().stream()
                        .map(machine -> List.of(
                                machine.here() ? machine.name() + " (this one)" : machine.name(),
                                "" + machine.events(),
                                moment(machine.newest()),
                                machine.behind() == 0 ? "none" : "" + machine.behind(),
                                machine.here() ? "now" : moment(machine.at())))
                        .toList());
        for (Exchanged.Machine machine : exchanged.machines()) {
            if (!machine.clock().isEmpty()) {
                answer = answer.caution(machine.name() + ": " + machine.clock()
                        + ". Set it right; times of what it wrote meanwhile can be put right on each entry.");
            }
        }
        answer = list(
                answer,
                "Missing here",
                "It was written and is on its way, or gone with the disk of whoever wrote it. It is taken in when it comes; until then what hangs on it may look incomplete.",
                exchanged.missing());
        answer = list(
                answer,
                "Waiting in the folder",
                "Files that are still being copied, or did not come whole. They are looked at again at each exchange. A file that stays so does no harm: whoever has what was in it writes it again.",
                exchanged.waiting());
        return differing(parted(answer, exchanged), exchanged);
    }

    private static String came(Exchanged exchanged) {
        if (exchanged.taken() + exchanged.given() + exchanged.files() == 0) {
            return "; there was nothing new";
        }
        List<String> parts = new ArrayList<>();
        parts.add(count(exchanged.taken(), "entry", "entries") + " came in");
        parts.add(count(exchanged.given(), "entry", "entries") + " went out");
        if (exchanged.files() > 0) {
            parts.add(count(exchanged.files(), "photo or memo", "photos or memos") + " came or went");
        }
        return ": " + String.join(", ", parts);
    }

    private static String count(int number, String one, String many) {
        return number == 0 ? "no " + many : number + " " + (number == 1 ? one : many);
    }

    private static Answer list(Answer answer, String heading, String meaning, List<String> lines) {
        if (lines.isEmpty()) {
            return answer;
        }
        Answer more = answer.heading(heading).text(meaning);
        for (String line : lines) {
            more = more.text("– " + line);
        }
        return more;
    }

    private Answer parted(Answer answer, Exchanged exchanged) {
        if (exchanged.parted().isEmpty()) {
            return answer;
        }
        Answer more = answer.heading("Written on in two places")
                .text(
                        "An old copy was put back, or a machine was copied, and both went on from the same entry. Both branches stay and count; each machine goes on in a chain of its own. Look whether something was written down twice.");
        for (Exchanged.Parted parted : exchanged.parted()) {
            more = more.with(entries(
                    parted.machine() + ", from its entry " + parted.place() + " on",
                    "first entry of each branch",
                    parted.firsts()));
        }
        return more;
    }

    private Answer differing(Answer answer, Exchanged exchanged) {
        if (exchanged.differing().isEmpty()) {
            return answer;
        }
        Answer more = answer.heading("One id, two things said")
                .text(
                        "Two lines claim to be the same entry and say different things, which should not happen. The first counts; look at the other and write it down again if it is true.");
        for (Exchanged.Differing differing : exchanged.differing()) {
            more = more.with(entries("Lines of one id", "as it reads", differing.positions()));
        }
        return more;
    }

    private Answer.Table entries(String caption, String heading, List<Long> positions) {
        List<List<String>> rows = positions.stream()
                .map(pos -> {
                    var line = studio.views().line(pos);
                    return List.of(
                            "event " + pos,
                            slabside.views.Sentence.of(line.event(), studio::name),
                            moment(line.envelope().recorded()));
                })
                .toList();
        return new Answer.Table(caption, List.of("", heading, "written"), rows);
    }
}
