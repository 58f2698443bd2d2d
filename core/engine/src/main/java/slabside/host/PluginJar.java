package slabside.host;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import slabside.plugin.AuditCheck;
import slabside.plugin.Calculator;
import slabside.plugin.Importer;
import slabside.plugin.OwnEvent;
import slabside.plugin.Report;

/** A dropped-in file, looked through before anything of it runs. */
final class PluginJar {
    /** What a plugin may offer. */
    private static final List<Class<?>> SERVICES =
            List.of(Calculator.class, Report.class, Importer.class, AuditCheck.class, OwnEvent.class);

    private static final String SERVICE = "META-INF/services/";
    private static final long LARGEST = 50L << 20;

    private PluginJar() {}

    /** Why a file cannot be a plugin; an empty text when it can. */
    static String wrong(Path file) {
        try {
            if (Files.size(file) > LARGEST) {
                return "it is larger than " + (LARGEST >> 20) + " MB";
            }
            boolean service = false;
            try (ZipFile zip = new ZipFile(file.toFile())) {
                for (ZipEntry entry : (Iterable<ZipEntry>) zip.stream().map(ZipEntry.class::cast)::iterator) {
                    String name = entry.getName();
                    if (name.startsWith("/") || name.contains("..") || name.contains("\\")) {
                        return "it holds a name that leads out of it: " + name;
                    }
                    if (name.startsWith("slabside/") && name.endsWith(".class")) {
                        return "it holds a class of Slabside's own name: " + name;
                    }
                    service |= SERVICES.stream().anyMatch(each -> name.equals(SERVICE + each.getName()));
                }
            }
            return service
                    ? ""
                    : "it offers nothing: a line is missing, such as one in " + SERVICE + Calculator.class.getName();
        } catch (IOException broken) {
            return "it is no JAR that can be read: " + broken.getMessage();
        }
    }
}
