package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.ToolProvider;

/** A plugin of the package "stranger", compiled and packed for a test. */
final class StrangersJar {
    private StrangersJar() {}

    /**
     * @param folder for what is made on the way
     * @param services each as "Calculator=Densities$Slow"
     */
    static void write(Path jar, Path folder, String name, String source, List<String> services) throws IOException {
        Path file = Files.writeString(
                Files.createDirectories(folder.resolve("src/stranger")).resolve(name + ".java"), source);
        Path classes = Files.createDirectories(folder.resolve("classes"));
        int code = ToolProvider.getSystemJavaCompiler()
                .run(
                        null,
                        null,
                        null,
                        "-cp",
                        System.getProperty("java.class.path"),
                        "-proc:none",
                        "-d",
                        classes.toString(),
                        file.toString());
        assertEquals(0, code, "it compiles");
        Files.createDirectories(jar.getParent());
        try (JarOutputStream out = new JarOutputStream(Files.newOutputStream(jar));
                Stream<Path> all = Files.list(classes.resolve("stranger"))) {
            for (Path each : all.toList()) {
                put(out, "stranger/" + each.getFileName(), Files.readAllBytes(each));
            }
            for (String service : services) {
                String[] parts = service.split("=");
                put(
                        out,
                        "META-INF/services/slabside.plugin." + parts[0],
                        ("stranger." + parts[1]).getBytes(StandardCharsets.UTF_8));
            }
        }
    }

    private static void put(JarOutputStream jar, String name, byte[] bytes) throws IOException {
        jar.putNextEntry(new JarEntry(name));
        jar.write(bytes);
        jar.closeEntry();
    }
}
