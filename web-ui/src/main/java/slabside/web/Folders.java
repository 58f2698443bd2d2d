package slabside.web;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;

/** Where a studio lives when nobody says: the folders each system keeps for such things. */
record Folders(Path data, Path config) {
    static Folders usual(Map<String, String> environment, String system, String home) {
        String os = system.toLowerCase(Locale.ROOT);
        if (os.contains("win")) {
            return new Folders(
                    Path.of(environment.getOrDefault("APPDATA", home)).resolve("Slabside"),
                    Path.of(environment.getOrDefault("LOCALAPPDATA", home)).resolve("Slabside"));
        } else if (os.contains("mac")) {
            Path library = Path.of(home, "Library");
            return new Folders(
                    library.resolve("Application Support").resolve("Slabside"),
                    library.resolve("Preferences").resolve("Slabside"));
        }
        return new Folders(
                folder(environment, "XDG_DATA_HOME", Path.of(home, ".local", "share"))
                        .resolve("slabside"),
                folder(environment, "XDG_CONFIG_HOME", Path.of(home, ".config")).resolve("slabside"));
    }

    private static Path folder(Map<String, String> environment, String name, Path otherwise) {
        String value = environment.getOrDefault(name, "");
        return value.isBlank() ? otherwise : Path.of(value);
    }

    static Folders usual() {
        return usual(System.getenv(), System.getProperty("os.name", ""), System.getProperty("user.home", "."));
    }
}
