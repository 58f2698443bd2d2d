package slabside.web;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import slabside.event.EventCodec;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Shelf;
import slabside.plugin.Answer;

/** Cans, what is left of them, since when they are open; packets kept. */
final class ShelfPage {
    private static final int MOST_FINISHED = 60;

    private final Desk desk;

    ShelfPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param marks such as "skin"
     * @param screen #rrggbb, or an empty text
     */
    public record Can(
            String href,
            String label,
            String material,
            String lot,
            String left,
            String opened,
            List<String> marks,
            String screen) {}

    public record Packet(
            String href,
            String label,
            String name,
            String left,
            String place,
            String holds,
            String strip,
            List<Answer.Swatch> look) {}

    public record Shown(
            Frame frame, List<Can> cans, List<Desk.Piece> gone, List<Packet> packets, List<Desk.Piece> mixes) {}

    Shown page() {
        desk.studio.views().catchUp();
        List<Shelf.Packet> packets = desk.studio.shelf().packets();
        Map<ThingId, Answer.Swatch> looks = new Looks(desk)
                .of(packets.stream().map(packet -> packet.thing().id()).toList());
        return new Shown(
                desk.frame("Shelf", "shelf"),
                desk.studio.shelf().cans().stream().map(this::can).toList(),
                desk.studio.shelf().finished(MOST_FINISHED).stream()
                        .map(can -> new Desk.Piece(desk.studio.name(can.id()), "/thing/" + can.id()))
                        .toList(),
                packets.stream().map(packet -> packet(packet, looks)).toList(),
                desk.studio.views().things("mix", "", 40).stream()
                        .map(mix -> new Desk.Piece(desk.studio.name(mix.id()), "/thing/" + mix.id()))
                        .toList());
    }

    private Can can(Shelf.Can can) {
        List<String> marks = can.seen().inspected().stream()
                .flatMap(seen -> seen.found().stream())
                .map(found -> EventCodec.word(found).replace('-', ' '))
                .collect(Collectors.toList());
        if (can.left().overdrawn()) {
            marks.add("more taken out than put in");
        }
        return new Can(
                "/thing/" + can.thing().id(),
                can.thing().label(),
                desk.studio.name(can.material()),
                can.lot(),
                can.left()
                        .grams()
                        .map(g -> Drawn.number(g.value(), g.u()) + " g")
                        .orElse("not known"),
                can.seen()
                        .opened()
                        .map(at -> "open since " + desk.answers.day(at))
                        .orElse("not opened"),
                marks,
                desk.studio.shelf().material(can.material()).screen());
    }

    private Packet packet(Shelf.Packet packet, Map<ThingId, Answer.Swatch> looks) {
        String holds = desk.answers.holds(packet.contents()).replaceFirst("^, ", "");
        Answer.Strip strip = desk.answers.strip(packet.contents());
        return new Packet(
                "/thing/" + packet.thing().id(),
                packet.thing().label(),
                desk.packet(packet.thing()),
                packet.left()
                        .grams()
                        .map(g -> Drawn.number(g.value(), g.u()) + " g")
                        .orElse("not known"),
                packet.place(),
                holds,
                packet.contents().isEmpty() ? "" : Pictures.strip(strip),
                Optional.ofNullable(looks.get(packet.thing().id())).stream().toList());
    }
}
