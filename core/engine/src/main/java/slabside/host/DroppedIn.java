package slabside.host;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import slabside.measure.BadInput;
import slabside.plugin.AuditCheck;
import slabside.plugin.Calculator;
import slabside.plugin.Card;

/**
 * Plugins that somebody dropped into a folder. Each is off until it is approved on this machine; the approval holds for the
 * file as it was then. An approved one runs in a process of its own, which keeps its faults from the log. It isolates faults,
 * not malice: the process has the rights of whoever runs the studio.
 */
public final class DroppedIn implements AutoCloseable {
    /** How a file stands. */
    public enum State {
        /** Nobody approved it on this machine. */
        OFF,
        APPROVED,
        /** It was approved, and is another file now. */
        CHANGED,
        /** It cannot run; the reason stands beside it. */
        SET_ASIDE
    }

    /**
     * One file of the folder.
     *
     * @param approved whether somebody approved this very file
     * @param offers its calculators, reports, importers and checks, as far as it was asked
     * @param events types of its own events
     * @param why it is off or set aside, or what of it is, or an empty text
     * @param error the last thing that went wrong when it was asked, or an empty text
     * @param millis that it took in all since the studio was opened
     */
    public record Listed(
            String file,
            State state,
            boolean approved,
            List<Card> offers,
            List<String> events,
            String why,
            String error,
            long millis) {
        public Listed {
            offers = List.copyOf(offers);
            events = List.copyOf(events);
        }
    }

    /** What may be used of all approved files. */
    private record Usable(
            Map<String, Calculator> asked, List<AuditCheck> checks, Map<String, RemotePlugin> ownerOfPrefix) {}

    private static final Duration DEADLINE = Duration.ofSeconds(15);
    private static final Duration IDLE = Duration.ofMinutes(1);

    private final Path folder;
    private final Duration deadline;
    private final Approvals approvals;
    /** Ids and prefixes that no dropped-in plugin may have. */
    private final Set<String> taken;

    /** What files were found to be, as long as they do not change. */
    private final Map<Path, Seen> seen = new ConcurrentHashMap<>();

    /**
     * A file as it was looked through.
     *
     * @param wrong why it cannot be a plugin, or an empty text
     */
    private record Seen(long size, FileTime changed, String hash, String wrong) {}

    /** By name and hash. */
    private final Map<String, RemotePlugin> running = new ConcurrentHashMap<>();

    private final ScheduledExecutorService reaper = Executors.newSingleThreadScheduledExecutor(task -> {
        Thread thread = new Thread(task, "idle plugins");
        thread.setDaemon(true);
        return thread;
    });

    /**
     * @param folder where files are dropped
     * @param config where this machine keeps its approvals
     * @param taken ids and prefixes that no dropped-in plugin may have
     */
    DroppedIn(Path folder, Path config, Set<String> taken) {
        this(folder, config, taken, DEADLINE, IDLE);
    }

    DroppedIn(Path folder, Path config, Set<String> taken, Duration deadline, Duration idle) {
        this.deadline = deadline;
        this.folder = folder;
        this.approvals = new Approvals(config);
        this.taken = Set.copyOf(taken);
        reaper.scheduleWithFixedDelay(
                () -> running.values().forEach(each -> each.rest(idle)),
                idle.toMillis(),
                Math.max(1, idle.toMillis() / 4),
                TimeUnit.MILLISECONDS);
    }

    public Path folder() {
        return folder;
    }

    /** Every file of the folder, in the order of their names. */
    public List<Listed> list() {
        Map<String, String> approved = approvals.all();
        List<Listed> listed = new ArrayList<>();
        Set<String> ids = new LinkedHashSet<>(taken);
        Set<String> prefixes = new LinkedHashSet<>();
        for (Path file : files()) {
            String name = file.getFileName().toString();
            Seen found = look(file);
            String wrong = found.wrong;
            String hash = approved.getOrDefault(name, "");
            if (!wrong.isEmpty()) {
                listed.add(standing(name, State.SET_ASIDE, wrong));
            } else if (hash.isEmpty()) {
                listed.add(standing(name, State.OFF, "nobody approved it on this machine"));
            } else if (!found.hash.equals(hash)) {
                listed.add(standing(name, State.CHANGED, "it is another file than the one approved; approve it again"));
            } else {
                listed.add(running(name, plugin(name, hash), ids, prefixes));
            }
        }
        return listed;
    }

    private static Listed standing(String name, State state, String why) {
        return new Listed(name, state, false, List.of(), List.of(), why, "", 0);
    }

    /** An approved file, of whose offers those count that no file before it has. */
    private static Listed running(String name, RemotePlugin plugin, Set<String> ids, Set<String> prefixes) {
        RemotePlugin.Offers offers = plugin.offers();
        List<String> why = new ArrayList<>();
        if (!offers.broken().isEmpty()) {
            why.add(offers.broken());
        }
        List<Card> cards = new ArrayList<>();
        for (Card card : offers.cards()) {
            if (ids.add(card.id())) {
                cards.add(card);
            } else {
                why.add("another plugin offers [" + card.id() + "] already");
            }
        }
        List<String> events = new ArrayList<>();
        Set<String> own = new LinkedHashSet<>();
        for (String type : offers.events().keySet()) {
            String prefix = prefix(type);
            if (own.contains(prefix) || prefixes.add(prefix)) {
                own.add(prefix);
                events.add(type);
            } else {
                why.add("another plugin has the prefix [" + prefix + "] already");
            }
        }
        boolean nothing = cards.isEmpty() && events.isEmpty();
        return new Listed(
                name,
                nothing ? State.SET_ASIDE : State.APPROVED,
                true,
                cards,
                events,
                String.join("; ", why),
                plugin.error(),
                plugin.nanos() / 1_000_000);
    }

    /** "plugin.paper-store.read" has the prefix "paper-store". */
    private static String prefix(String stored) {
        return stored.split("\\.", -1)[1];
    }

    /** Looks a file through, unless it is as it was when that was done last. */
    private Seen look(Path file) {
        try {
            BasicFileAttributes now = Files.readAttributes(file, BasicFileAttributes.class);
            return seen.compute(
                    file,
                    (any, before) -> before != null
                                    && before.size == now.size()
                                    && before.changed.equals(now.lastModifiedTime())
                            ? before
                            : new Seen(
                                    now.size(), now.lastModifiedTime(), Approvals.hash(file), PluginJar.wrong(file)));
        } catch (IOException gone) {
            return new Seen(0, FileTime.fromMillis(0), "", "it cannot be read: " + gone.getMessage());
        }
    }

    private RemotePlugin plugin(String name, String hash) {
        return running.computeIfAbsent(
                name + " " + hash, any -> new RemotePlugin(name, approvals.kept(hash), approvals.archive(), deadline));
    }

    private Usable usable() {
        Map<String, Calculator> asked = new LinkedHashMap<>();
        List<AuditCheck> checks = new ArrayList<>();
        Map<String, RemotePlugin> owners = new LinkedHashMap<>();
        Map<String, String> approved = approvals.all();
        Set<String> ids = new LinkedHashSet<>(taken);
        for (Path file : approved.isEmpty() ? List.<Path>of() : files()) {
            String name = file.getFileName().toString();
            String hash = approved.get(name);
            if (hash == null || !look(file).wrong.isEmpty() || !hash.equals(look(file).hash)) {
                continue;
            }
            RemotePlugin plugin = plugin(name, hash);
            for (Calculator each : plugin.offers().asked()) {
                if (ids.add(each.card().id())) {
                    asked.put(each.card().id(), each);
                }
            }
            for (AuditCheck each : plugin.offers().checks()) {
                if (ids.add(each.card().id())) {
                    checks.add(each);
                }
            }
            plugin.offers().events().keySet().forEach(type -> owners.putIfAbsent(prefix(type), plugin));
        }
        return new Usable(asked, checks, owners);
    }

    /** Calculators, reports and importers of approved files, by id; the first file that offers an id has it. */
    Map<String, Calculator> asked() {
        return usable().asked();
    }

    List<AuditCheck> checks() {
        return usable().checks();
    }

    /**
     * The version in which a plugin writes a type of its own.
     *
     * @param by id of a calculator of the same plugin
     * @return empty when the plugin that offers {@code by} has no such type
     */
    Optional<Integer> version(String type, String by) {
        Usable usable = usable();
        return Optional.ofNullable(usable.ownerOfPrefix().get(prefix(type)))
                .filter(plugin -> plugin.offers().asked().stream()
                        .anyMatch(each -> each == usable.asked().get(by)))
                .map(plugin -> plugin.offers().events().get(type));
    }

    /**
     * Approves a file as it is now.
     *
     * @throws BadInput when there is no such file, or it cannot be a plugin
     */
    public Listed approve(String name) {
        Path file = file(name);
        String wrong = PluginJar.wrong(file);
        if (!wrong.isEmpty()) {
            throw new BadInput("plugin", name, wrong);
        }
        stop(name);
        approvals.add(file);
        if (!Files.exists(approvals.archive())) {
            HelperProcess.learnToStart(approvals.kept(approvals.all().getOrDefault(name, "")), approvals.archive());
        }
        return one(name);
    }

    /** Looks a file through and asks what it offers, in a process of its own, without approving it. */
    public Listed check(String name) {
        Path file = file(name);
        String wrong = PluginJar.wrong(file);
        if (!wrong.isEmpty()) {
            return standing(name, State.SET_ASIDE, wrong);
        }
        try (RemotePlugin plugin = new RemotePlugin(name, file, approvals.archive(), deadline)) {
            Listed offered = running(name, plugin, new LinkedHashSet<>(taken), new LinkedHashSet<>());
            return new Listed(
                    name,
                    offered.state() == State.SET_ASIDE
                            ? State.SET_ASIDE
                            : one(name).state(),
                    one(name).approved(),
                    offered.offers(),
                    offered.events(),
                    offered.why(),
                    offered.error(),
                    offered.millis());
        }
    }

    /** Takes an approval back; the file stays where it is. */
    public Listed revoke(String name) {
        approvals.remove(name);
        stop(name);
        return one(name);
    }

    private void stop(String name) {
        running.forEach((key, plugin) -> {
            if (key.startsWith(name + " ")) {
                plugin.close();
                running.remove(key, plugin);
            }
        });
    }

    private Listed one(String name) {
        return list().stream()
                .filter(each -> each.file().equals(name))
                .findFirst()
                .orElse(standing(name, State.OFF, "the file is gone"));
    }

    private Path file(String name) {
        return files().stream()
                .filter(file -> file.getFileName().toString().equals(name))
                .findFirst()
                .orElseThrow(() -> new BadInput(
                        "plugin",
                        name,
                        "there is no such file in " + folder + "; there are "
                                + files().stream()
                                        .map(file -> file.getFileName().toString())
                                        .toList()));
    }

    private List<Path> files() {
        if (!Files.isDirectory(folder)) {
            return List.of();
        }
        try (Stream<Path> all = Files.list(folder)) {
            return all.filter(file -> Files.isRegularFile(file)
                            && file.getFileName().toString().endsWith(".jar"))
                    .sorted()
                    .toList();
        } catch (IOException failed) {
            throw new BadInput("folder of plugins", folder, "it cannot be read: " + failed.getMessage());
        }
    }

    /** Names of the files whose process runs now. */
    List<String> awake() {
        return running.entrySet().stream()
                .filter(each -> each.getValue().isRunning())
                .map(each -> each.getKey().replaceFirst(" [0-9a-f]+$", ""))
                .toList();
    }

    /** Ends all processes; the next question begins them anew. */
    public void rest() {
        running.values().forEach(RemotePlugin::close);
        running.clear();
    }

    @Override
    public void close() {
        reaper.shutdownNow();
        rest();
    }
}
