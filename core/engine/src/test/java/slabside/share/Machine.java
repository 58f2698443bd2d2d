package slabside.share;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import slabside.event.Actor;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.RawBody;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.Samples;
import slabside.log.Stored;
import slabside.log.Transfer;
import slabside.measure.Amount;
import slabside.studio.MediaFile;
import slabside.studio.Studio;
import slabside.studio.WholeFolder;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * A made-up machine with a studio of its own, and with its own copy of the shared folder, which a made-up synchroniser keeps
 * like a store that all machines reach.
 */
final class Machine implements AutoCloseable {
    static final int CANS = 4;

    final String name;
    final Path home;
    private final Clock clock;
    private final Random random;
    /** What the synchroniser last put into, or took from, this machine's copy of the folder. */
    private final Map<String, byte[]> known = new TreeMap<>();

    private Studio studio;
    private Sharing sharing;

    Machine(String name, Path home, Clock base, long skewMs, Random random) {
        this.name = name;
        this.home = home;
        this.random = random;
        this.clock = Samples.clock(() -> base.instant().plusMillis(skewMs));
    }

    Path data() {
        return home.resolve("data");
    }

    Path config() {
        return home.resolve("config");
    }

    Path copy() {
        return home.resolve("shared");
    }

    Studio studio() {
        return studio;
    }

    void open() {
        studio = Studio.open(data(), config(), clock);
        Sharing.of(studio).ifPresent(known -> sharing = known);
    }

    void make() {
        sharing = Sharing.make(studio, copy(), name);
    }

    void join() {
        sharing = Sharing.join(studio, copy(), name, false);
    }

    Exchanged exchange() {
        return sharing.now();
    }

    @Override
    public void close() {
        studio.close();
    }

    // What the made-up synchroniser does.

    /** Brings what changed here into the store. */
    void up(Map<String, byte[]> store) throws IOException {
        Map<String, byte[]> here = files();
        here.forEach((path, bytes) -> {
            if (!java.util.Arrays.equals(known.get(path), bytes)) {
                store.put(path, bytes);
                known.put(path, bytes);
            }
        });
        for (String path : List.copyOf(known.keySet())) {
            if (!here.containsKey(path)) {
                store.remove(path);
                known.remove(path);
            }
        }
    }

    private Map<String, byte[]> files() throws IOException {
        Map<String, byte[]> here = new TreeMap<>();
        if (Files.isDirectory(copy())) {
            try (Stream<Path> all = Files.walk(copy())) {
                for (Path file : all.filter(Files::isRegularFile).toList()) {
                    here.put(copy().relativize(file).toString(), Files.readAllBytes(file));
                }
            }
        }
        return here;
    }

    /** Brings what is in the store here; with faults, each file may be left out, cut, changed, or come under two names. */
    void down(Map<String, byte[]> store, boolean faults) throws IOException {
        for (Map.Entry<String, byte[]> each : store.entrySet()) {
            byte[] bytes = each.getValue();
            Path file = copy().resolve(each.getKey());
            boolean there = Files.exists(file) && java.util.Arrays.equals(Files.readAllBytes(file), bytes);
            if (there) {
                continue;
            }
            int fate = faults ? random.nextInt(8) : 7;
            if (fate == 0) {
                continue;
            }
            byte[] put = bytes;
            if (fate == 1 && bytes.length > 1) {
                put = java.util.Arrays.copyOf(bytes, random.nextInt(bytes.length));
            } else if (fate == 2 && bytes.length > 0) {
                put = bytes.clone();
                put[random.nextInt(put.length)] ^= (byte) (1 << random.nextInt(8));
            } else if (fate == 3) {
                put(copy().resolve(each.getKey().replace(".", " (copy of " + name + ").")), bytes);
            }
            put(file, put);
            known.put(each.getKey(), put);
        }
        for (String path : List.copyOf(known.keySet())) {
            if (!store.containsKey(path) && !faults) {
                Files.deleteIfExists(copy().resolve(path));
                known.remove(path);
            }
        }
    }

    private static void put(Path file, byte[] bytes) throws IOException {
        Files.createDirectories(file.getParent());
        Files.write(file, bytes);
    }

    // What happens to the machine.

    /** A copy of this machine's disk, without the shared folder. */
    Path keepCopy(Path to) throws IOException {
        close();
        for (String part : List.of("data", "config")) {
            copyFolder(home.resolve(part), to.resolve(part));
        }
        open();
        return to;
    }

    /** Puts an old copy of the data back; of what the machine remembers too, or not. */
    void putBack(Path from, boolean withConfig) throws IOException {
        close();
        WholeFolder.delete(data());
        copyFolder(from.resolve("data"), data());
        if (withConfig) {
            WholeFolder.delete(config());
            copyFolder(from.resolve("config"), config());
        }
        open();
    }

    /** Makes another machine of this one's disk, as somebody does who copies everything to a new computer. */
    void becomes(Machine other) throws IOException {
        close();
        copyFolder(home, other.home);
        for (Path file : other.textFiles()) {
            Files.writeString(file, Files.readString(file).replace(home.toString(), other.home.toString()));
        }
        other.known.putAll(known);
        open();
        other.open();
    }

    private List<Path> textFiles() throws IOException {
        try (Stream<Path> all = Files.walk(config())) {
            return all.filter(Files::isRegularFile).toList();
        }
    }

    static void copyFolder(Path from, Path to) throws IOException {
        try (Stream<Path> all = Files.walk(from)) {
            for (Path file : all.sorted().toList()) {
                Path target = to.resolve(from.relativize(file).toString());
                if (Files.isDirectory(file)) {
                    Files.createDirectories(target);
                } else {
                    Files.copy(file, target);
                }
            }
        }
    }

    // What is written.

    private ThingId any(String kind, String otherwise) {
        List<ThingId> known = studio.views().things(kind, "", 50).stream()
                .map(thing -> thing.id())
                .sorted(Comparator.comparing(ThingId::text))
                .toList();
        return known.isEmpty() ? new ThingId(otherwise) : known.get(random.nextInt(known.size()));
    }

    /** Lists the cans; every machine that does this at the beginning writes the very same events. */
    void cans() {
        List<Draft> drafts = new ArrayList<>();
        Random same = new Random(7);
        long then = Instant.parse("2024-01-01T08:00:00Z").toEpochMilli();
        for (int i = 0; i < CANS; i++) {
            ThingId material = new ThingId("material-" + i);
            ThingId can = new ThingId("can-" + i);
            StudioEvent listed =
                    new ShelfEvent.MaterialListed(material, "ink " + i, MaterialRole.INK, null, null, null, null);
            StudioEvent came = new ShelfEvent.CanReceived(
                    can, material, "L" + i, null, Amount.net("grams", "900"), null, null, null);
            for (StudioEvent event : List.of(listed, came)) {
                drafts.add(new Draft(
                        EventId.at(then, same),
                        Happened.exactly(then, ZoneOffset.UTC),
                        null,
                        new Actor(new ThingId("notebook"), "import"),
                        event));
            }
        }
        studio.append(Decision.of(drafts));
    }

    /** Brings in a page of a notebook; whichever machine does, the events are the very same. */
    List<EventId> page(int number) {
        Random same = new Random(100 + number);
        long then = Instant.parse("2025-01-01T08:00:00Z").toEpochMilli() + number * 86_400_000L;
        ThingId mix = new ThingId("mix-of-page-" + number);
        List<Draft> drafts = new ArrayList<>();
        for (StudioEvent event : List.of(
                new InkEvent.MixStarted(mix, "page " + number, null, null, null, null),
                new InkEvent.Moved(new ThingId("can-1"), mix, Amount.net("grams", "12.5"), Why.ADDED, null),
                new InkEvent.Named(mix, "from page " + number))) {
            drafts.add(new Draft(
                    EventId.at(then, same),
                    Happened.exactly(then, ZoneOffset.UTC),
                    null,
                    new Actor(new ThingId("notebook"), "import"),
                    event));
        }
        return studio.append(Decision.of(drafts)).stored().stream()
                .map(stored -> stored.envelope().id())
                .toList();
    }

    /** Writes something down; returns the ids of what was acknowledged. */
    List<EventId> write() {
        long now = clock.millis();
        Actor actor = new Actor(new ThingId("person-" + name), name);
        StudioEvent event = something(now);
        List<Stored> before = studio.log().read(Math.max(0, studio.log().last() - 1 - random.nextInt(20)), 1);
        boolean late = random.nextInt(4) == 0;
        Happened happened = Happened.exactly(late ? now - random.nextInt(86_400_000) : now, ZoneOffset.UTC);
        EventId after = random.nextInt(6) == 0 && !before.isEmpty()
                ? before.get(0).envelope().id()
                : null;
        Draft draft = new Draft(EventId.at(now, random), happened, after, actor, event);
        return studio.append(Decision.of(draft)).stored().stream()
                .map(stored -> stored.envelope().id())
                .toList();
    }

    /** Takes a photo; returns its name. */
    String photo() {
        BufferedImage picture = new BufferedImage(2, 2, BufferedImage.TYPE_INT_RGB);
        picture.setRGB(0, 0, random.nextInt(1 << 24));
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        try {
            ImageIO.write(picture, "png", png);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
        LogEvent.Attached kept = studio.attachments()
                .keep(
                        MediaFile.of(png.toByteArray()),
                        new LogEvent.Attached(null, any("mix", "mix-" + name), "", 0, "image/png", "the slab"));
        studio.write(new Actor(new ThingId("person-" + name), name), List.of(kept));
        return kept.sha256();
    }

    boolean hasPhoto(String sha) {
        try {
            return studio.attachments().whole(sha).isPresent();
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    private StudioEvent something(long now) {
        ThingId can = new ThingId("can-" + random.nextInt(CANS));
        ThingId mix = any("mix", "mix-" + name);
        ThingId fresh = new ThingId("mix-" + name + "-" + random.nextInt(1_000_000));
        return switch (random.nextInt(9)) {
            case 0 ->
                new InkEvent.MixStarted(fresh, "mix of " + name + " " + random.nextInt(9), null, null, null, null);
            case 1, 2, 3 ->
                new InkEvent.Moved(can, mix, Amount.net("grams", 1 + random.nextInt(20) + ".5"), Why.ADDED, null);
            case 4 ->
                new InkEvent.Moved(
                        mix, any("mix", "mix-x"), new Amount.Estimated(500, 900, "by eye"), Why.FOLDED_IN, null);
            case 5 -> new InkEvent.Named(mix, "called " + random.nextInt(5) + " by " + name);
            case 6 -> correction();
            case 7 -> new LogEvent.SameThing(any("mix", "mix-x"), any("mix", "mix-y"));
            default -> new LogEvent.Annotated(null, mix, "a word at " + now);
        };
    }

    private StudioEvent correction() {
        List<Told> told = studio.views()
                .timeline(slabside.views.Timeline.Filter.newest(30))
                .events();
        Told target = told.get(random.nextInt(told.size()));
        if (random.nextInt(3) == 0 || !(target.event() instanceof InkEvent.Moved moved)) {
            return new LogEvent.Voided(target.id(), "a slip");
        }
        List<EventId> replaces = target.versions().isEmpty() ? List.of(target.id()) : target.versions();
        InkEvent.Moved right = new InkEvent.Moved(
                moved.from(), moved.to(), Amount.net("grams", 1 + random.nextInt(9) + ".25"), moved.why(), null);
        return new LogEvent.Amended(
                target.id(), replaces, new RawBody(EventCodec.body(right).toString()), null, null, null);
    }

    // What is compared.

    Set<String> ids() {
        Set<String> ids = new TreeSet<>();
        studio.log()
                .read(0, Integer.MAX_VALUE)
                .forEach(each -> ids.add(each.envelope().id().text()));
        return ids;
    }

    String exported() {
        try (var out = new java.io.ByteArrayOutputStream()) {
            Transfer.export(studio.log(), out);
            return out.toString(StandardCharsets.UTF_8);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** Everything that pages and folds are made from, without what is local: positions and when something came. */
    String told() {
        studio.views().catchUp();
        StringBuilder all = new StringBuilder();
        String before = "";
        do {
            var filter = slabside.views.Timeline.Filter.newest(500);
            var page = studio.views()
                    .timeline(new slabside.views.Timeline.Filter(
                            filter.type(),
                            filter.thing(),
                            filter.person(),
                            filter.search(),
                            before,
                            filter.from(),
                            filter.to(),
                            filter.knownUntil(),
                            filter.changedOnly(),
                            500));
            page.events()
                    .forEach(told -> all.append(told.id())
                            .append(' ')
                            .append(told.key())
                            .append(' ')
                            .append(told.event())
                            .append(told.voided())
                            .append(told.versions())
                            .append(told.adrift())
                            .append('\n'));
            before = page.next().orElse("");
        } while (!before.isEmpty());
        studio.views().things("", "", 100_000).stream()
                .map(Object::toString)
                .sorted()
                .forEach(thing -> all.append(thing).append('\n'));
        studio.views().things("mix", "", 100_000).stream()
                .map(thing -> thing.id())
                .sorted(Comparator.comparing(ThingId::text))
                .forEach(mix -> all.append(mix)
                        .append(" holds ")
                        .append(studio.ledger().now(mix).grams())
                        .append('\n'));
        // What was known in the middle of it all.
        List<Long> recorded = studio.log().read(0, Integer.MAX_VALUE).stream()
                .map(stored -> stored.envelope().recorded())
                .sorted()
                .toList();
        Stories then = studio.views().asKnown(recorded.get(recorded.size() / 2));
        studio.views()
                .things("", "", 100_000)
                .forEach(thing -> all.append(then.of(thing.id(), EnumSet.allOf(Role.class), StoryKey.LAST).stream()
                                .map(told -> told.id() + " " + told.event())
                                .toList())
                        .append('\n'));
        return all.toString();
    }

    void whole() {
        assertTrue(
                studio.log().verify().wrong().isEmpty(),
                () -> name + ": " + studio.log().verify().wrong());
    }
}
