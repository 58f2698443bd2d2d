package slabside.web;

import java.util.List;
import java.util.Optional;
import slabside.log.Head;
import slabside.log.Verification;
import slabside.studio.Attachments;

/** Whether the log is whole: where it is, how far it has come, what was noticed. */
final class SafekeepingPage {
    private final Desk desk;

    SafekeepingPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param verified what a full reading just found; empty when it was not asked for
     */
    public record Shown(
            Frame frame,
            String file,
            long events,
            List<Head> heads,
            List<String> notices,
            Optional<Verification> verified,
            Optional<Attachments.Check> attached) {}

    Shown page(boolean verify) {
        return new Shown(
                desk.frame("Safekeeping", "safekeeping"),
                desk.studio.log().file().toString(),
                desk.studio.log().last(),
                desk.studio.log().heads(),
                desk.studio.log().notices(),
                verify ? Optional.of(desk.studio.log().verify()) : Optional.empty(),
                verify ? Optional.of(desk.studio.attachments().check(desk.studio.log())) : Optional.empty());
    }
}
