package slabside.share;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EventId;
import slabside.log.ForeignLine;
import slabside.log.Samples;
import slabside.log.Segment;
import slabside.studio.Attachments;
import slabside.studio.WholeFolder;

/**
 * Random histories of five machines: pulled apart and brought together again by a synchroniser that drops, cuts, changes and
 * doubles files; put back from old copies with and without what the machine remembered; copied to a sixth; with clocks that
 * are wrong by hours. In the end all hold one log and tell one story, and nothing that could come back is lost.
 */
class MachinesTest {
    private static final int HISTORIES = Integer.getInteger("slabside.histories", 6);
    private static final int STEPS = 80;

    @TempDir
    Path folder;

    private final Counts counts = new Counts();

    /** How often each thing happened, so that the test cannot pass by doing nothing. */
    private static final class Counts {
        private int events;
        private int restores;
        private int copies;
        private int parted;
        private int twice;
        private int notWhole;
        private int lost;
        private int photos;
    }

    @Test
    void all_machines_come_to_hold_one_log_and_tell_one_story() throws IOException {
        for (int i = 0; i < HISTORIES; i++) {
            long seed = Long.getLong("slabside.histories.seed", 1) + i;
            Path here = Files.createDirectories(folder.resolve("history-" + seed));
            history(seed, here);
            WholeFolder.delete(here);
        }
        System.out.println("Histories of machines: " + HISTORIES + "; events " + counts.events + ", put back "
                + counts.restores + ", copied machines " + counts.copies + ", chains that parted " + counts.parted
                + ", events in two chains " + counts.twice + ", files not whole " + counts.notWhole + ", photos "
                + counts.photos
                + ", written on a disk that was put back before anybody else had it " + counts.lost
                + "; lost otherwise 0");
        assertTrue(counts.events > HISTORIES * 20, "events");
        assertTrue(counts.restores > HISTORIES / 2, "put back");
        assertTrue(counts.twice > 0 && counts.notWhole > 0, "files");
        assertTrue(HISTORIES < 20 || counts.parted > 0, "chains that parted");
    }

    private void history(long seed, Path here) throws IOException {
        Random random = new Random(seed);
        Clock base = Samples.ticking();
        Map<String, byte[]> store = new TreeMap<>();
        List<Machine> machines = new ArrayList<>();
        Set<EventId> acknowledged = new HashSet<>();
        Set<String> mayBeLost = new HashSet<>();
        Map<Machine, Path> copies = new java.util.HashMap<>();
        Set<String> photos = new TreeSet<>();
        for (int i = 0; i < 5; i++) {
            long skew = random.nextInt(4) == 0 ? (random.nextInt(49) - 24) * 3_600_000L : random.nextInt(60_000);
            Machine machine = new Machine("m" + i, here.resolve("m" + i), base, skew, random);
            machines.add(machine);
            machine.open();
            if (i == 0) {
                machine.cans();
                machine.make();
                machine.up(store);
            } else {
                machine.down(store, false);
                machine.join();
                machine.up(store);
            }
        }
        for (int i = 0; i < STEPS; i++) {
            Machine machine = machines.get(random.nextInt(machines.size()));
            switch (random.nextInt(21)) {
                case 0, 1, 2, 3, 4, 5, 6, 7, 8 -> acknowledged.addAll(machine.write());
                case 9, 10, 11 -> {
                    machine.down(store, true);
                    counts.notWhole += machine.exchange().waiting().size();
                    machine.up(store);
                }
                case 12, 13 -> machine.exchange();
                case 14 -> {
                    acknowledged.addAll(machine.page(random.nextInt(4)));
                    machine.up(store);
                }
                case 15 -> {
                    Path copy = here.resolve("copy-" + i);
                    copies.put(machine, machine.keepCopy(copy));
                }
                case 16 -> {
                    List<Machine> saved =
                            machines.stream().filter(copies::containsKey).toList();
                    if (!saved.isEmpty()) {
                        Machine back = saved.get(random.nextInt(saved.size()));
                        putBack(back, copies.get(back), random.nextBoolean(), machines, store, mayBeLost);
                        photos.removeIf(photo -> !isSomewhere(photo, machines, store));
                    }
                }
                case 17 -> {
                    machine.close();
                    machine.open();
                }
                case 18 -> rot(store, machines, random);
                case 19 -> {
                    photos.add(machine.photo());
                    counts.photos++;
                }
                default -> {
                    if (machines.size() < 6 && random.nextInt(3) == 0) {
                        Machine sixth = new Machine("m5", here.resolve("m5"), base, 5_000, random);
                        machine.becomes(sixth);
                        machines.add(sixth);
                        counts.copies++;
                    }
                }
            }
        }
        settle(machines, store, seed);
        compare(machines, acknowledged, mayBeLost, seed);
        for (Machine machine : machines) {
            Set<String> named = machine.studio().attached().keySet();
            photos.stream()
                    .filter(named::contains)
                    .forEach(photo -> assertTrue(
                            machine.hasPhoto(photo),
                            "seed " + seed + ": " + machine.name + " lacks the photo " + photo));
        }
        Machine fresh = new Machine("m6", here.resolve("m6"), base, 0, random);
        machines.add(fresh);
        fresh.open();
        fresh.down(store, false);
        fresh.join();
        assertEquals(
                machines.get(0).exported(), fresh.exported(), "seed " + seed + ": the folder alone holds everything");
        assertEquals(machines.get(0).told(), fresh.told(), "seed " + seed);
        Machine anew = machines.get(1);
        anew.close();
        Files.delete(anew.data().resolve("views.db"));
        anew.open();
        assertEquals(fresh.told(), anew.told(), "seed " + seed + ": lists made anew");
        machines.forEach(Machine::close);
    }

    /** A bit of a file in the store turns over, for good; not of a piece or photo that is nowhere else. */
    private static void rot(Map<String, byte[]> store, List<Machine> machines, Random random) {
        List<String> pieces = store.entrySet().stream()
                .filter(each -> !each.getKey().startsWith("chains")
                        || isWhole(each.getValue())
                                && machines.stream()
                                        .anyMatch(machine -> Segment.read(each.getValue()).ends().stream()
                                                .allMatch(machine.studio().log()::holds)))
                .filter(each -> !each.getKey().startsWith("attached")
                        || machines.stream()
                                .anyMatch(machine ->
                                        machine.hasPhoto(each.getKey().substring("attached/".length()))))
                .filter(each -> each.getKey().contains("/"))
                .map(Map.Entry::getKey)
                .toList();
        if (!pieces.isEmpty()) {
            String path = pieces.get(random.nextInt(pieces.size()));
            byte[] bytes = store.get(path).clone();
            bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
            store.put(path, bytes);
        }
    }

    private static boolean isSomewhere(String photo, List<Machine> machines, Map<String, byte[]> store) {
        byte[] there = store.get("attached/" + photo);
        return there != null && Attachments.isOf(photo, there)
                || machines.stream().anyMatch(machine -> machine.hasPhoto(photo));
    }

    /** What stood on that machine alone may be gone with its disk. */
    private void putBack(
            Machine machine,
            Path copy,
            boolean withConfig,
            List<Machine> machines,
            Map<String, byte[]> store,
            Set<String> mayBeLost)
            throws IOException {
        Set<String> before = machine.ids();
        machine.putBack(copy, withConfig);
        counts.restores++;
        Set<String> elsewhere = new TreeSet<>(machine.ids());
        for (Machine other : machines) {
            elsewhere.addAll(other.ids());
        }
        elsewhere.addAll(joined(machines, store));
        before.stream().filter(id -> !elsewhere.contains(id)).forEach(mayBeLost::add);
    }

    /**
     * Events of whole pieces in the store that some machine can take in: what comes before them is on a machine, or in such a
     * piece too. Where the only piece before them has rotted and the only machine that had it is gone, they stand there for
     * people to read, and wait.
     */
    private static Set<String> joined(List<Machine> machines, Map<String, byte[]> store) throws IOException {
        Set<String> hashes = new HashSet<>();
        for (Machine machine : machines) {
            machine.studio().log().read(0, Integer.MAX_VALUE).forEach(line -> hashes.add(line.hash()));
        }
        List<ForeignLine> lines = new ArrayList<>();
        for (byte[] file : store.values()) {
            if (isWhole(file)) {
                lines.addAll(Segment.lines(file));
            }
        }
        Set<String> ids = new TreeSet<>();
        boolean more = true;
        while (more) {
            more = false;
            for (ForeignLine line : lines) {
                boolean follows = hashes.contains(line.hash())
                        || hash("0".repeat(64), line.line()).equals(line.hash())
                        || hashes.stream()
                                .anyMatch(each -> hash(each, line.line()).equals(line.hash()));
                if (follows) {
                    ids.add(line.line().replaceFirst("^.*?\"id\":\"([^\"]*)\".*$", "$1"));
                    more |= hashes.add(line.hash());
                }
            }
        }
        return ids;
    }

    /** As DEVELOPERS.md states it: SHA-256 of the tag, the hash before and the line. */
    private static String hash(String before, String line) {
        try {
            MessageDigest sha = MessageDigest.getInstance("SHA-256");
            sha.update("slabside event 1\n".getBytes(StandardCharsets.US_ASCII));
            sha.update(HexFormat.of().parseHex(before));
            return HexFormat.of().formatHex(sha.digest(line.getBytes(StandardCharsets.UTF_8)));
        } catch (NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }

    private static boolean isWhole(byte[] bytes) {
        try {
            Segment.read(bytes);
            return true;
        } catch (slabside.measure.BadInput notWhole) {
            return false;
        }
    }

    private void settle(List<Machine> machines, Map<String, byte[]> store, long seed) throws IOException {
        for (int round = 0; round < 12; round++) {
            Map<String, byte[]> before = new TreeMap<>(store);
            for (Machine machine : machines) {
                machine.down(store, false);
                Exchanged exchanged = machine.exchange();
                assertEquals("", exchanged.trouble(), "seed " + seed);
                machine.up(store);
            }
            if (before.equals(store)) {
                return;
            }
        }
    }

    private void compare(List<Machine> machines, Set<EventId> acknowledged, Set<String> mayBeLost, long seed) {
        Machine first = machines.get(0);
        String exported = first.exported();
        String told = first.told();
        Set<String> ids = first.ids();
        for (Machine machine : machines) {
            machine.whole();
            assertEquals(exported, machine.exported(), "seed " + seed + ", the log of " + machine.name);
            assertEquals(told, machine.told(), "seed " + seed + ", the story on " + machine.name);
        }
        for (EventId id : acknowledged) {
            if (!ids.contains(id.text())) {
                assertTrue(mayBeLost.contains(id.text()), "seed " + seed + ": acknowledged and lost: " + id);
                counts.lost++;
            }
        }
        counts.events += ids.size();
        Exchanged last = first.exchange();
        counts.parted += last.parted().size();
        counts.twice += first.studio().log().twice().size();
        assertEquals(List.of(), last.differing(), "seed " + seed);
    }
}
