package slabside.web;

import java.io.IOException;
import java.io.InputStream;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Stream;
import slabside.measure.BadInput;

/** Writes a Maven project for a plugin: it builds at once, against the contract in its own folder "lib". */
final class NewPlugin {
    /** What it is compiled and tested against, by the beginning of the name of our file. */
    private static final Map<String, String> LIBRARIES = Map.of(
            "slabside-contract-", "slabside-contract.jar",
            "sources/slabside-contract-", "slabside-contract-sources.jar",
            "slabside-science-", "slabside-science.jar",
            "slabside-kit-", "slabside-kit.jar",
            "hipparchus-core-", "hipparchus-core.jar",
            "hipparchus-stat-", "hipparchus-stat.jar",
            "jspecify-", "jspecify.jar");

    /** Classes that the project itself uses. */
    private static final Set<String> RESERVED = Set.of(
            "Answer",
            "Calculator",
            "Card",
            "Question",
            "Replies",
            "StudioView",
            "Mass",
            "List",
            "Map",
            "Test",
            "Override",
            "PluginCheck",
            "String",
            "Integer",
            "Object",
            "System",
            "Slabside",
            "Java");

    /** Words of Java that can be no package (JLS 3.9), of those that are one word. */
    private static final Set<String> KEYWORDS = Set.of(
            "abstract",
            "assert",
            "boolean",
            "break",
            "byte",
            "case",
            "catch",
            "char",
            "class",
            "const",
            "continue",
            "default",
            "do",
            "double",
            "else",
            "enum",
            "extends",
            "final",
            "finally",
            "float",
            "for",
            "goto",
            "if",
            "implements",
            "import",
            "instanceof",
            "int",
            "interface",
            "long",
            "native",
            "new",
            "package",
            "private",
            "protected",
            "public",
            "return",
            "short",
            "static",
            "strictfp",
            "super",
            "switch",
            "synchronized",
            "this",
            "throw",
            "throws",
            "transient",
            "try",
            "void",
            "volatile",
            "while",
            "true",
            "false",
            "null");

    private NewPlugin() {}

    /**
     * @param name such as "sheets-left": the folder, the file and the id of its calculator
     * @param under folder in which the project's is made
     * @return files written, in their order
     */
    static List<Path> write(String name, Path under) {
        if (!name.matches("[a-z][a-z0-9]*(-[a-z0-9]+)*") || name.length() > 40) {
            throw new BadInput("NAME", name, "use small letters, digits and single hyphens, such as sheets-left");
        }
        String taken = type(name);
        if (RESERVED.contains(taken) || KEYWORDS.contains(name)) {
            throw new BadInput("NAME", name, "Java or the contract uses this word already; choose another");
        }
        Path project = under.resolve(name);
        Path ours = ours();
        if (Files.exists(project)) {
            throw new BadInput("NAME", project, "there is something of this name already; choose another");
        }
        String type = type(name);
        String pack = name.replace("-", "");
        Path source = Path.of("src/main/java", pack, type + ".java");
        try {
            put(project.resolve("pom.xml"), text("pom.xml", name, pack, type));
            put(project.resolve(source), text("Plugin.java", name, pack, type));
            put(
                    project.resolve(Path.of("src/test/java", pack, type + "Test.java")),
                    text("PluginTest.java", name, pack, type));
            put(
                    project.resolve("src/main/resources/META-INF/services/slabside.plugin.Calculator"),
                    pack + "." + type + "\n");
            libraries(ours, Files.createDirectories(project.resolve("lib")));
            try (Stream<Path> all = Files.walk(project)) {
                return all.filter(Files::isRegularFile).sorted().toList();
            }
        } catch (IOException failed) {
            throw new BadInput("NAME", project, "it cannot be written here: " + failed.getMessage());
        }
    }

    /** "sheets-left" as SheetsLeft. */
    private static String type(String name) {
        StringBuilder type = new StringBuilder();
        for (String word : name.split("-", -1)) {
            type.append(word.substring(0, 1).toUpperCase(Locale.ROOT)).append(word.substring(1));
        }
        return type.toString();
    }

    /** "sheets-left" as "Sheets left". */
    private static String title(String name) {
        return name.substring(0, 1).toUpperCase(Locale.ROOT) + name.substring(1).replace('-', ' ');
    }

    private static String text(String template, String name, String pack, String type) throws IOException {
        try (InputStream in =
                Objects.requireNonNull(NewPlugin.class.getResourceAsStream("/kit/" + template), template)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .replace("PACKAGE", pack)
                    .replace("CLASS", type)
                    .replace("TITLE", title(name))
                    .replace("NAME", name);
        }
    }

    private static void put(Path file, String text) throws IOException {
        Files.createDirectories(file.getParent());
        Files.writeString(file, text);
    }

    private static void libraries(Path ours, Path lib) throws IOException {
        for (Map.Entry<String, String> each : LIBRARIES.entrySet()) {
            Path name = Path.of(each.getKey());
            Path folder = ours.resolve(name).getParent();
            try (Stream<Path> all = Files.list(folder)) {
                Path jar = all.filter(file -> file.getFileName()
                                .toString()
                                .startsWith(name.getFileName().toString()))
                        .findFirst()
                        .orElseThrow(() -> new BadInput(
                                "folder lib", ours, "it lacks " + each.getKey() + "….jar; install Slabside whole"));
                Files.copy(jar, lib.resolve(each.getValue()));
            }
        }
    }

    /** The folder "lib" beside the program. */
    private static Path ours() {
        try {
            Path program = Path.of(NewPlugin.class
                    .getProtectionDomain()
                    .getCodeSource()
                    .getLocation()
                    .toURI());
            Path lib = program.resolveSibling("lib");
            if (!Files.isDirectory(lib)) {
                throw new BadInput(
                        "folder lib", lib, "it is not beside the program; run slabside.jar where it was built");
            }
            return lib;
        } catch (URISyntaxException odd) {
            throw new IllegalStateException(odd);
        }
    }
}
