// region report
package example;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** Which wrapped packets to use up first. */
public final class PacketsByAge implements Report {
    private static final Question<LocalDate> DAY = Question.date("day", "As of");

    private record Packet(StudioView.Thing thing, Optional<Long> days, StudioView.Composition in) {}

    public Card card() {
        return new Card("packets-by-age", "Packets by age", "Which packets should I use up first?");
    }

    public List<Question<?>> questions() {
        return List.of(DAY);
    }

    public Answer answer(Replies replies, StudioView studio) {
        List<Packet> packets = new ArrayList<>();
        for (StudioView.Thing thing : studio.find("packet", "")) {
            StudioView.Composition in = studio.composition(thing.id());
            if (in.grams().value() >= 0.1) {
                packets.add(new Packet(
                        thing, wrapped(studio, thing).map(day -> ChronoUnit.DAYS.between(day, replies.to(DAY))), in));
            }
        }
        packets.sort(Comparator.comparingLong((Packet packet) -> packet.days().orElse(Long.MAX_VALUE))
                .reversed());
        return Answer.titled("Packets by age")
                .with(new Answer.Table(
                        "Oldest first, of the newest " + StudioView.PAGE + " packets",
                        List.of("packet", "days", "g", "mostly"),
                        packets.stream().map(PacketsByAge::row).toList(),
                        packets.stream().map(each -> each.thing().id()).toList()));
    }

    /** The day on which a packet was wrapped last; empty when its newest entries do not say. */
    private static Optional<LocalDate> wrapped(StudioView studio, StudioView.Thing packet) {
        return studio.story(packet.id(), "").moments().stream()
                .filter(moment -> moment.type().equals("ink.wrapped"))
                .findFirst()
                .map(moment -> LocalDate.ofInstant(Instant.ofEpochMilli(moment.millis()), ZoneId.of(studio.zone())));
    }

    private static List<String> row(Packet packet) {
        return List.of(
                packet.thing().name().isEmpty()
                        ? packet.in().name()
                        : packet.thing().name(),
                packet.days().map(String::valueOf).orElse("not known"),
                String.format(Locale.ROOT, "%.1f", packet.in().grams().value()),
                packet.in().shares().stream()
                        .max(Comparator.comparingDouble(share -> share.share().value()))
                        .map(share -> share.material().name())
                        .orElse(""));
    }
}
// endregion
