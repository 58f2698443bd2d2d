package slabside.studio;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A guess by names: what tells of a synchroniser, common practice, no source. */
class SynchronisedTest {
    @TempDir
    Path folder;

    private Optional<String> warning(Path data) {
        return Synchronised.warning(data, folder.resolve("config"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"My Cloud/studio", "file-sync/studio", "Somebody's Drive/ink/studio"})
    void a_folder_under_a_name_that_tells_is_warned_of(String path) {
        assertTrue(warning(folder.resolve(path)).orElseThrow().contains("its path has the name"));
    }

    @ParameterizedTest
    @ValueSource(strings = {".sync_1a2b.db", ".tray", ".abfolder", ".acloud.log"})
    void a_folder_with_a_mark_that_tells_is_warned_of(String mark) throws IOException {
        Path tray = Files.createDirectories(folder.resolve("Tray"));
        Files.createFile(tray.resolve(mark));
        String said = warning(tray.resolve("studio")).orElseThrow();
        assertTrue(said.contains("“" + mark + "”"), said);
    }

    @Test
    void a_plain_folder_is_not() throws IOException {
        Path plain = Files.createDirectories(folder.resolve("studio"));
        Files.createFile(plain.resolve(".hidden"));
        assertEquals(Optional.empty(), warning(plain));
    }

    @Test
    void whoever_said_that_it_may_stay_is_not_asked_again_for_that_folder_alone() {
        Path one = folder.resolve("cloud").resolve("one");
        Path other = folder.resolve("cloud").resolve("other");
        Synchronised.confirm(one, folder.resolve("config"));
        Synchronised.confirm(one, folder.resolve("config"));
        assertEquals(Optional.empty(), warning(one));
        assertTrue(warning(other).isPresent());
        Synchronised.confirm(other, folder.resolve("config"));
        assertEquals(Optional.empty(), warning(one));
        assertEquals(Optional.empty(), warning(other));
    }
}
