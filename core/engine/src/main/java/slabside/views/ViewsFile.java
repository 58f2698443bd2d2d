package slabside.views;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.sqlite.SQLiteConfig;
import slabside.log.EventLog;
import slabside.log.LogTrouble;
import slabside.log.Prepared;
import slabside.log.Stored;

/** The file of the views, which can be thrown away at any time and is made anew from the log. */
record ViewsFile(Path path) {
    static ViewsFile in(Path dataFolder) {
        return new ViewsFile(dataFolder.resolve("views.db"));
    }

    Prepared connect() throws SQLException {
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setJournalMode(SQLiteConfig.JournalMode.WAL);
        config.setSynchronous(SQLiteConfig.SynchronousMode.NORMAL);
        config.setBusyTimeout(10_000);
        config.setCacheSize(-16_000);
        return new Prepared(config.createConnection("jdbc:sqlite:" + path));
    }

    /** Throws the file away when it does not belong to this log as it now stands, and makes a new one where there is none. */
    void prepare(EventLog log) throws SQLException, IOException {
        if (Files.exists(path)) {
            if (isOf(log)) {
                return;
            }
            for (String ending : List.of("", "-wal", "-shm", "-heap")) {
                Files.deleteIfExists(beside(ending));
            }
        }
        try (Prepared views = connect()) {
            ViewTables.create(views);
        }
    }

    private boolean isOf(EventLog log) {
        ViewTables.State state;
        try (Prepared views = connect()) {
            state = ViewTables.state(views);
        } catch (SQLException damaged) {
            return false;
        }
        // With nothing in it, it may be the beginning of one that was being made when the power went.
        return state.isWhole()
                && (state.pos() == 0
                        ? log.last() == 0
                        : log.at(state.pos()).map(Stored::hash).equals(Optional.of(state.hash())));
    }

    /** A file with the same name and an ending. */
    Path beside(String ending) {
        return path.resolveSibling(path.getFileName() + ending);
    }

    /** That it cannot be used, and what to do. */
    LogTrouble trouble(Exception failed) {
        return new LogTrouble(
                "The lists in " + path + " cannot be used: " + failed.getMessage()
                        + ". Delete that file; it is made anew from the log.",
                failed);
    }
}
