package slabside.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Strangers compile against these types: each that is more than one value with a name says what it is. */
class JavadocTest {
    private static final Pattern TYPE = Pattern.compile(
            "(?m)^(?:@FunctionalInterface\\n)?([ ]*)(?:public )?(?:sealed |final |static )*(record|interface|class|enum) (\\w+)");
    /** A method of an interface: a return type, a name and parameters, without a body. */
    private static final Pattern METHOD =
            Pattern.compile("(?m)^    (?:default )?(?! )[\\w<>?.\\[\\], ]+ (\\w+)\\([^;{}]*\\)(;| \\{)$");

    private static Stream<Path> sources() throws IOException {
        return Files.walk(Path.of("src/main/java"))
                .filter(file -> file.toString().endsWith(".java"));
    }

    private static boolean isTold(String source, int at) {
        return source.substring(0, at).stripTrailing().endsWith("*/");
    }

    @Test
    void every_type_says_what_it_is() throws IOException {
        List<String> untold = new ArrayList<>();
        int types = 0;
        for (Path file : sources().toList()) {
            String source = Files.readString(file);
            Matcher type = TYPE.matcher(source);
            while (type.find()) {
                types++;
                boolean plainBlock = source.substring(type.start(), Math.min(source.length(), type.start() + 90))
                        .matches(
                                "(?s).*\\(\\w+ \\w+\\) implements (Block|Json) \\{\\}.*|(?s).*\\(\\) implements Json \\{\\}.*");
                if (!plainBlock && !isTold(source, type.start())) {
                    untold.add(file.getFileName() + ": " + type.group(3));
                }
            }
        }
        assertTrue(types > 60, "only " + types + " types were found");
        assertEquals(List.of(), untold);
    }

    @Test
    void every_method_that_a_plugin_implements_or_asks_says_what_it_does() throws IOException {
        List<String> untold = new ArrayList<>();
        int methods = 0;
        for (Path file : sources().toList()) {
            String source = Files.readString(file);
            if (source.contains("public interface ")) {
                Matcher method = METHOD.matcher(source);
                while (method.find()) {
                    methods++;
                    if (!isTold(source, method.start())) {
                        untold.add(file.getFileName() + ": " + method.group(1));
                    }
                }
            }
        }
        assertTrue(methods > 25, "only " + methods + " methods were found");
        assertEquals(List.of(), untold);
    }
}
