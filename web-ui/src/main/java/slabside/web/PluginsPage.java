package slabside.web;

import java.util.List;
import slabside.host.DroppedIn;

/** Plugins that were dropped in: what each offers, how it stands, and who may run. Only on the studio's own machine. */
final class PluginsPage {
    private final Desk desk;

    PluginsPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param folder where to drop a JAR
     */
    public record Shown(Frame frame, String folder, List<DroppedIn.Listed> plugins) {}

    Shown page() {
        DroppedIn dropped = desk.studio.host().droppedIn();
        return new Shown(desk.frame("Plugins", "safekeeping"), dropped.folder().toString(), dropped.list());
    }

    void approve(Form form) {
        desk.studio.host().droppedIn().approve(form.need("file", "name the JAR in the folder of plugins"));
    }

    void revoke(Form form) {
        desk.studio.host().droppedIn().revoke(form.need("file", "name the JAR in the folder of plugins"));
    }
}
