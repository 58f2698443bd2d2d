package slabside.web;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import slabside.edition.Stone;
import slabside.event.StoneEvent;
import slabside.views.Thing;

/** Stones and plates: where each stands, in which state, what its image is for. */
final class StonesPage {
    private static final int MOST = 500;

    private final Desk desk;

    StonesPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * One stone or plate.
     *
     * @param facts size, grade, place
     * @param state what was done last, and since when it lies under gum
     * @param holds its runs, each with the sheets that have not been through
     */
    public record Row(String href, String name, String facts, String state, List<Desk.Piece> holds) {}

    /**
     * @param used with an image on them
     * @param free without one: ground off, defaced, returned or never drawn on
     */
    public record Shown(Frame frame, List<Row> used, List<Row> free) {}

    Shown list() {
        desk.studio.views().catchUp();
        List<Row> used = new ArrayList<>();
        List<Row> free = new ArrayList<>();
        Stream.of("stone", "plate")
                .flatMap(kind -> desk.studio.views().things(kind, "", MOST).stream())
                .map(Thing::id)
                .map(desk.studio.runs()::matrix)
                .forEach(stone -> (isFree(stone) ? free : used).add(row(stone)));
        return new Shown(desk.frame("Stones and plates", "stones"), used, free);
    }

    private static boolean isFree(Stone stone) {
        return stone.ended().isPresent()
                || stone.life().stream().noneMatch(told -> told.event() instanceof StoneEvent.Treated);
    }

    private Row row(Stone stone) {
        return new Row(
                "/thing/" + stone.id(),
                desk.studio.name(stone.id()),
                stone.listed().map(desk::facts).orElse(""),
                desk.state(stone),
                desk.holds(stone));
    }
}
