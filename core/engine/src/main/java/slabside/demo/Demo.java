package slabside.demo;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Random;
import slabside.log.LogTrouble;
import slabside.log.SqlEventLog;
import slabside.views.Views;

/**
 * Four invented scenarios in one invented workshop, the Harrowmere Stone Room: a colour to be made again after two years
 * (C), an edition of five runs (A), a failed edition (B), and how that one would have gone with too much charge alone (B′).
 * No person, firm or product in them exists.
 */
public final class Demo {
    private static final long SEED = 20_240_117;

    private Demo() {}

    /**
     * Writes the demo into a folder that must hold no studio yet.
     *
     * @param today the scenarios end a little before this day
     */
    public static void write(Path data, Path config, LocalDate today, ZoneId zone) {
        if (Files.exists(data.resolve("studio.db"))) {
            throw new LogTrouble(
                    "There is a studio in " + data + " already; nothing was changed. Name a new folder with --data.");
        }
        Script.Hands clock = new Script.Hands(zone);
        try (SqlEventLog log = SqlEventLog.open(data, config, clock, new Random(SEED));
                Views views = Views.following(log, data)) {
            Script script = new Script(log, views, clock, SEED);
            script.at(today.minusDays(740), 8, 0);
            Workshop workshop = new Workshop(script);
            new HeronGrey(script, workshop).write(today.minusDays(730));
            workshop.newShelf(today.minusDays(75));
            new Tidewrack(script, workshop).write(today.minusDays(64));
            new Weir(script, workshop, false).write(today.minusDays(22));
            new Weir(script, workshop, true).write(today.minusDays(15));
            workshop.lookRound(today.minusDays(3));
            workshop.readings(today.minusDays(3));
            views.catchUp();
        }
        Workshop.people(data);
    }

    /** A new folder below the system's temporary folder. */
    public static Path freshFolder() {
        try {
            return Files.createTempDirectory("slabside-demo-");
        } catch (IOException failed) {
            throw new LogTrouble(
                    "No temporary folder can be made: " + failed.getMessage() + ". Name a folder with --data.", failed);
        }
    }
}
