package slabside.log;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import org.sqlite.SQLiteConfig;
import org.sqlite.util.LibraryLoaderUtil;

/**
 * The part of SQLite that is machine code. Its driver unpacks it at every start and asks the system what machine this is; laid
 * into a folder once, which {@code -Dorg.sqlite.lib.path} names, it is taken from there.
 */
public final class NativeSqlite {
    private NativeSqlite() {}

    /** Lays that of this machine into a folder. */
    public static void layInto(Path folder) throws IOException {
        String name = LibraryLoaderUtil.getNativeLibName();
        Files.createDirectories(folder);
        try (InputStream packed =
                SQLiteConfig.class.getResourceAsStream(LibraryLoaderUtil.getNativeLibResourcePath() + "/" + name)) {
            if (packed == null) {
                throw new IOException("the driver has none for this machine");
            }
            Path fresh = folder.resolve(name + ".new");
            Files.copy(packed, fresh, StandardCopyOption.REPLACE_EXISTING);
            Files.move(fresh, folder.resolve(name), StandardCopyOption.REPLACE_EXISTING);
        }
    }
}
