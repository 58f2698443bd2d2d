package slabside;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.lang.conditions.ArchConditions.dependOnClassesThat;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.GeneralCodingRules.NO_CLASSES_SHOULD_THROW_GENERIC_EXCEPTIONS;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchRule;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** The package table of the design, and the rules that keep the log safe and the folds repeatable. */
class ArchitectureTest {
    private static final JavaClasses CLASSES = new ClassFileImporter()
            .withImportOption(new ImportOption.DoNotIncludeTests())
            .withImportOption(location -> !location.contains("-tests.jar"))
            .importPackages("slabside");

    /** Each package with those of ours that it may use. */
    private static final Map<String, List<String>> MAY_USE = Map.ofEntries(
            Map.entry("measure", List.of()),
            Map.entry("plugin", List.of("measure")),
            Map.entry("kit", List.of("plugin", "measure")),
            Map.entry("statistics", List.of("measure")),
            Map.entry("colour", List.of("measure")),
            Map.entry("body", List.of("measure", "statistics")),
            Map.entry("looks", List.of("plugin", "colour", "measure")),
            Map.entry("event", List.of("measure")),
            Map.entry("log", List.of("event", "measure")),
            Map.entry("views", List.of("log", "event", "measure")),
            Map.entry("ink", List.of("event", "views", "statistics", "measure")),
            Map.entry("edition", List.of("event", "views", "ink", "measure")),
            Map.entry("warning", List.of("event", "views", "ink", "edition", "measure")),
            Map.entry("helper", List.of("plugin", "measure")),
            Map.entry(
                    "host",
                    List.of("plugin", "helper", "event", "views", "ink", "edition", "statistics", "colour", "measure")),
            Map.entry("keeping", List.of("event", "log", "share", "studio", "measure")),
            Map.entry("share", List.of("event", "log", "views", "studio", "measure")),
            Map.entry("notebook", List.of("event", "log", "views", "measure")),
            Map.entry("quantity", List.of("plugin", "measure", "statistics")),
            Map.entry("documents", List.of("plugin", "measure", "colour", "looks")),
            Map.entry("planning", List.of("plugin", "measure", "statistics", "body")),
            Map.entry("audit", List.of("plugin", "measure", "statistics")),
            Map.entry("swatch", List.of("plugin", "measure", "colour", "looks", "body")),
            Map.entry("knife", List.of("plugin", "measure", "statistics", "colour", "looks", "body")),
            Map.entry("rolled", List.of("plugin", "measure", "statistics", "colour", "looks", "body")));

    @Test
    void enough_classes_are_looked_at() {
        assertTrue(
                CLASSES.size() > 250, "a typo in a package name would make every rule pass; found " + CLASSES.size());
        MAY_USE.keySet()
                .forEach(name -> assertTrue(
                        CLASSES.stream().anyMatch(resideInAPackage("slabside." + name)::test),
                        "nothing in slabside." + name));
    }

    @TestFactory
    List<DynamicTest> packages_use_only_what_the_table_allows() {
        return MAY_USE.entrySet().stream()
                .map(entry -> DynamicTest.dynamicTest(entry.getKey(), () -> {
                    String[] others = CLASSES.stream()
                            .map(c -> c.getPackageName())
                            .distinct()
                            .filter(name -> name.startsWith("slabside."))
                            .filter(name -> !name.equals("slabside." + entry.getKey()))
                            .filter(name -> !entry.getValue().contains(name.substring("slabside.".length())))
                            .toArray(String[]::new);
                    noClasses()
                            .that()
                            .resideInAPackage("slabside." + entry.getKey())
                            .should(dependOnClassesThat(
                                    com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage(others)))
                            .because("the package table of DEVELOPERS.md says what each package may use")
                            .check(CLASSES);
                }))
                .toList();
    }

    @TestFactory
    List<DynamicTest> rules() {
        return List.of(
                rule(slices().matching("slabside.(*)..")
                        .should()
                        .beFreeOfCycles()
                        .because("a package that needs its user cannot be read alone")),
                rule(noClasses()
                        .that()
                        .resideOutsideOfPackages("slabside.log", "slabside.views", "slabside.bench")
                        .should()
                        .dependOnClassesThat()
                        .resideInAnyPackage("java.sql..", "org.sqlite..", "org.postgresql..", "org.flywaydb..")
                        .because("what is stored is known in one place; the bench measures the floor beside it")),
                rule(noClasses()
                        .that()
                        .resideOutsideOfPackage("slabside.web")
                        .should()
                        .dependOnClassesThat()
                        .resideInAnyPackage("io.javalin..", "gg.jte..", "picocli..", "org.eclipse.jetty..")
                        .because("only web-ui knows HTTP and the command line")),
                rule(classes()
                        .that()
                        .areAssignableTo("slabside.event.StudioEvent")
                        .and()
                        .areNotInterfaces()
                        .should()
                        .beRecords()
                        .because("an event is what was said, and never changes")),
                rule(noClasses()
                        .that()
                        .resideInAnyPackage(
                                "slabside.measure",
                                "slabside.event",
                                "slabside.ink",
                                "slabside.edition",
                                "slabside.statistics")
                        .should()
                        .dependOnClassesThat()
                        .haveNameMatching(
                                "java\\.time\\.Clock|java\\.nio\\.file\\..*|java\\.io\\.File.*|java\\.net\\..*")
                        .because("the same events must give the same answer anywhere and at any time")),
                rule(noClasses()
                        .that()
                        .resideInAnyPackage(
                                "slabside.ink", "slabside.edition", "slabside.statistics", "slabside.measure")
                        .should()
                        .dependOnClassesThat()
                        .haveNameMatching(
                                "java\\.util\\.Random|java\\.security\\.SecureRandom|java\\.util\\.concurrent\\.ThreadLocalRandom")
                        .because("a fold that throws dice cannot be checked")),
                rule(noClasses()
                        .that()
                        .resideInAPackage("slabside..")
                        .and()
                        .doNotHaveSimpleName("Main")
                        // Its streams are the pipe to the host.
                        .and()
                        .doNotHaveSimpleName("Helper")
                        .should(com.tngtech.archunit.library.GeneralCodingRules.ACCESS_STANDARD_STREAMS)
                        .because("results go to who asked; the command line alone writes to the terminal")),
                rule(NO_CLASSES_SHOULD_THROW_GENERIC_EXCEPTIONS.because("an error must say what to do")),
                rule(noClasses()
                        .that()
                        .resideInAnyPackage(
                                "slabside.quantity",
                                "slabside.planning",
                                "slabside.documents",
                                "slabside.audit",
                                "slabside.swatch",
                                "slabside.knife",
                                "slabside.rolled")
                        .should()
                        .dependOnClassesThat()
                        .resideOutsideOfPackages(
                                "slabside.plugin",
                                "slabside.measure",
                                "slabside.statistics",
                                "slabside.quantity",
                                "slabside.planning",
                                "slabside.documents",
                                "slabside.audit",
                                "slabside.swatch",
                                "slabside.knife",
                                "slabside.rolled",
                                "slabside.colour",
                                "slabside.body",
                                "slabside.looks",
                                "java..",
                                // Of the JDK: files of instruments, and pictures.
                                "javax.xml.stream..",
                                "javax.imageio..",
                                "org.jspecify..")
                        .because("a bundled plugin uses nothing that a stranger cannot")));
    }

    @Test
    void pages_do_not_know_one_another() {
        CLASSES.stream()
                .filter(c -> c.getName().matches("slabside\\.web\\.\\w+Page(\\$.*)?"))
                .forEach(page -> page.getDirectDependenciesFromSelf().stream()
                        .map(d -> d.getTargetClass().getName())
                        .filter(name -> name.matches("slabside\\.web\\.\\w+Page(\\$.*)?"))
                        .forEach(name -> assertTrue(
                                name.replaceAll("\\$.*", "")
                                        .equals(page.getName().replaceAll("\\$.*", "")),
                                page.getName() + " uses " + name + ": pages share the desk, not one another")));
    }

    private static DynamicTest rule(ArchRule rule) {
        return DynamicTest.dynamicTest(rule.getDescription(), () -> rule.check(CLASSES));
    }
}
