package slabside.web;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.lang.reflect.Method;
import java.lang.reflect.Type;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Question;
import slabside.plugin.StudioView;

/** Help for those who write plugins; its code is that of the examples, which are tested. */
final class HelpPage {
    private final Desk desk;

    HelpPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param kinds of questions, as the contract has them
     * @param blocks of answers
     * @param asked what the studio can be asked, and what it gives
     * @param records what each of these holds
     */
    public record Shown(
            Frame frame, List<String> kinds, List<String> blocks, List<Desk.Piece> asked, List<Desk.Piece> records) {}

    Shown page() {
        return new Shown(
                desk.frame("Write a plugin", "calculators"),
                Stream.of(Question.Kind.values())
                        .map(kind ->
                                kind.name().toLowerCase(java.util.Locale.ROOT).replace('_', ' '))
                        .toList(),
                Stream.of(Answer.Block.class.getPermittedSubclasses())
                        .map(HelpPage::told)
                        .toList(),
                Stream.of(StudioView.class.getMethods())
                        .sorted(Comparator.comparing(Method::getName).thenComparing(Method::toGenericString))
                        .map(method -> new Desk.Piece(
                                method.getName() + "("
                                        + Stream.of(method.getParameters())
                                                .map(each -> simple(each.getParameterizedType()) + " " + each.getName())
                                                .collect(Collectors.joining(", "))
                                        + ")",
                                simple(method.getGenericReturnType())))
                        .toList(),
                Stream.of(StudioView.class.getDeclaredClasses())
                        .filter(Class::isRecord)
                        .sorted(Comparator.comparing(Class::getSimpleName))
                        .map(record -> new Desk.Piece(record.getSimpleName(), components(record)))
                        .toList());
    }

    private static String told(Class<?> record) {
        return record.getSimpleName() + "(" + components(record) + ")";
    }

    private static String components(Class<?> record) {
        return Stream.of(record.getRecordComponents())
                .map(each -> simple(each.getGenericType()) + " " + each.getName())
                .collect(Collectors.joining(", "));
    }

    /** A type without its packages. */
    private static String simple(Type type) {
        return type.getTypeName().replaceAll("[\\w.]+[.$]", "");
    }

    /**
     * A region of an example: the lines between "// region NAME" and "// endregion".
     *
     * @param file such as "main/java/example/TimeLeft.java"
     */
    public static String code(String file, String region) {
        List<String> lines = new ArrayList<>();
        boolean within = false;
        for (String line : read(file).lines().toList()) {
            if (line.strip().equals("// region " + region)) {
                within = true;
            } else if (line.strip().equals("// endregion")) {
                within = false;
            } else if (within) {
                lines.add(line);
            }
        }
        if (lines.isEmpty()) {
            throw new BadInput("region", file + " " + region, "the example has no such region");
        }
        return String.join("\n", lines).strip() + "\n";
    }

    private static String read(String file) {
        try (InputStream in = HelpPage.class.getResourceAsStream("/help/examples/" + file)) {
            if (in == null) {
                throw new BadInput("example", file, "it was not packed");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }
}
