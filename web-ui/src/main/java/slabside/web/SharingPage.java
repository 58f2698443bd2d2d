package slabside.web;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.share.Sharing;
import slabside.views.Thing;
import slabside.views.Views;

/** One studio on several machines: what came from where, what is missing, and how a machine enters. Only on the host. */
final class SharingPage implements AutoCloseable {
    private static final int MOST_ALIKE = 30;

    private final Desk desk;
    private final SharingWords words;
    private volatile @Nullable Sharing sharing;

    SharingPage(Desk desk) {
        this.desk = desk;
        this.words = new SharingWords(desk.studio, desk.zone);
        Sharing.of(desk.studio).ifPresent(known -> {
            sharing = known;
            known.keepOn();
        });
    }

    /**
     * Records that may be of one thing.
     *
     * @param why they may be
     * @param keep the record made first
     * @param relabel whether both bear one short id, so that one needs another when they are two
     * @param rename whether both bear one name, so that one needs another when they are two
     */
    public record Alike(String why, Desk.Choice keep, Desk.Choice other, boolean relabel, boolean rename) {}

    /**
     * @param told empty when the studio is not shared
     * @param name of this machine
     */
    public record Shown(Frame frame, Optional<Answer> told, String name, List<Alike> alike) {}

    Shown page() {
        Sharing known = sharing;
        desk.studio.views().catchUp();
        return new Shown(
                desk.frame("Several machines", "safekeeping"),
                Optional.ofNullable(known).map(each -> words.told(each.membership(), each.last())),
                known == null ? "" : known.membership().name(),
                alike());
    }

    /** What keeps the sharing from being done, if anything does. */
    List<String> toKnow() {
        Sharing known = sharing;
        return known == null || known.last().trouble().isEmpty()
                ? List.of()
                : List.of("The sharing with other machines does not work: "
                        + known.last().trouble());
    }

    /** Pairs that two machines may have written down as two; joining them is for somebody to say. */
    private List<Alike> alike() {
        List<Alike> alike = new ArrayList<>();
        for (Views.Pair pair : desk.studio.views().alike(MOST_ALIKE)) {
            alike.add(new Alike(
                    why(pair),
                    desk.choice(pair.first().id()),
                    desk.choice(pair.second().id()),
                    isOneLabel(pair.first(), pair.second()),
                    !isOneLabel(pair.first(), pair.second())));
        }
        Map<String, ThingId> named = new HashMap<>();
        desk.studio.people().all().forEach((id, name) -> {
            ThingId person = desk.studio.views().canonical(new ThingId(id));
            ThingId before = named.putIfAbsent(name.strip().toLowerCase(Locale.ROOT), person);
            if (before != null && !before.equals(person)) {
                alike.add(new Alike(
                        "Two people are called “" + name + "”",
                        new Desk.Choice(before.text(), name),
                        new Desk.Choice(person.text(), name),
                        false,
                        false));
            }
        });
        return alike;
    }

    private static boolean isOneLabel(Thing one, Thing other) {
        return !one.label().isEmpty() && one.label().equals(other.label());
    }

    private static String why(Views.Pair pair) {
        Thing one = pair.first();
        return isOneLabel(one, pair.second())
                ? "Both bear the short id " + one.label()
                : "Two of the kind “" + one.kind() + "” are called “" + one.name() + "”";
    }

    synchronized void make(Form form) {
        sharing = started(Sharing.make(desk.studio, folder(form), form.need("name", "say what to call this machine")));
    }

    synchronized void join(Form form) {
        sharing = started(Sharing.join(
                desk.studio, folder(form), form.need("name", "say what to call this machine"), form.has("merge")));
    }

    private static Sharing started(Sharing entered) {
        entered.keepOn();
        return entered;
    }

    private static Path folder(Form form) {
        String typed = form.need("folder", "type the whole path of the shared folder");
        try {
            Path folder = Path.of(typed);
            if (!folder.isAbsolute()) {
                throw new BadInput("folder", typed, "type its whole path, from the root of the disk on");
            }
            return folder;
        } catch (InvalidPathException wrong) {
            throw new BadInput("folder", typed, "that is no path on this machine: " + wrong.getReason());
        }
    }

    void now() {
        known().now();
    }

    synchronized void leave(Form form) {
        known().leave(form.has("anyway"));
        sharing = null;
    }

    private Sharing known() {
        return Optional.ofNullable(sharing)
                .orElseThrow(() ->
                        new BadInput("sharing", "none", "this studio is not shared; make or join a folder first"));
    }

    @Override
    public void close() {
        Sharing known = sharing;
        if (known != null) {
            known.close();
        }
    }
}
