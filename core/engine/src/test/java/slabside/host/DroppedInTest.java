package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.JavaCompiler;
import javax.tools.ToolProvider;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.studio.Studio;

/** Plugins by strangers, good and bad, in processes of their own: each bad one is named and set aside, and the log goes on. */
class DroppedInTest {
    private static final Duration SHORT = Duration.ofSeconds(3);

    @TempDir
    Path folder;

    private Studio studio;
    private DroppedIn dropped;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.write(
                new Actor(Studio.SOMEBODY, "this"),
                List.of(
                        new ShelfEvent.MaterialListed(
                                new ThingId("material-1"),
                                "transparent base",
                                MaterialRole.BASE,
                                null,
                                null,
                                null,
                                null),
                        new ShelfEvent.CanReceived(
                                new ThingId("can-1"),
                                new ThingId("material-1"),
                                "B-1",
                                null,
                                new Amount.Net(500_000, 100, "500"),
                                null,
                                null,
                                null)));
        studio.views().catchUp();
        dropped = new DroppedIn(folder.resolve("dropped"), folder.resolve("config"), Set.of("taken"), SHORT);
    }

    @AfterEach
    void close() {
        dropped.close();
        studio.close();
    }

    private static String source(String name, String id, String members, String answer) {
        return "package stranger;\nimport java.util.*;\nimport slabside.plugin.*;\n"
                + "public final class " + name + " implements Calculator {\n" + members
                + "\npublic Card card() { return new Card(\"" + id + "\", \"" + name + "\", \"Does it work?\"); }\n"
                + "static final Question<Integer> TIMES = Question.count(\"times\", \"Times\", 1, 9);\n"
                + "public List<Question<?>> questions() { return List.of(TIMES); }\n"
                + "public Answer answer(Replies replies, StudioView studio) {\n" + answer + "\n} }\n";
    }

    /** Compiles a plugin and drops it as a JAR. */
    private void drop(String jar, String name, String source, String... more) throws IOException {
        Path sources = Files.createDirectories(folder.resolve("sources-" + jar).resolve("stranger"));
        Path classes = Files.createDirectories(folder.resolve("classes-" + jar));
        Path file = Files.writeString(sources.resolve(name + ".java"), source);
        JavaCompiler compiler = ToolProvider.getSystemJavaCompiler();
        ByteArrayOutputStream errors = new ByteArrayOutputStream();
        int code = compiler.run(
                null,
                OutputStream.nullOutputStream(),
                errors,
                "-cp",
                System.getProperty("java.class.path"),
                "-proc:none",
                "-d",
                classes.toString(),
                file.toString());
        assertEquals(0, code, errors.toString(StandardCharsets.UTF_8));
        Files.createDirectories(dropped.folder());
        try (JarOutputStream out = new JarOutputStream(
                        Files.newOutputStream(dropped.folder().resolve(jar)));
                Stream<Path> all = Files.walk(classes)) {
            for (Path each : all.filter(Files::isRegularFile).toList()) {
                put(out, classes.relativize(each).toString(), Files.readAllBytes(each));
            }
            put(
                    out,
                    "META-INF/services/slabside.plugin.Calculator",
                    ("stranger." + name).getBytes(StandardCharsets.UTF_8));
            for (String entry : more) {
                put(out, entry, new byte[] {1});
            }
        }
    }

    private static void put(JarOutputStream out, String name, byte[] bytes) throws IOException {
        out.putNextEntry(new JarEntry(name));
        out.write(bytes);
        out.closeEntry();
    }

    private Answer ask(String id, String times) {
        Calculator calculator = dropped.calculators().get(id);
        return calculator.answer(
                Replies.read(calculator.questions(), Map.of("times", times)),
                studio.host().view());
    }

    private DroppedIn.Listed listed(String jar) {
        return dropped.list().stream()
                .filter(each -> each.file().equals(jar))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void a_good_plugin_answers_from_the_log_once_it_is_approved() throws IOException {
        drop(
                "good.jar",
                "Good",
                source(
                        "Good",
                        "good",
                        "",
                        "return Answer.titled(\"Good\")"
                                + ".text(studio.materials().get(0).name() + \" \" + studio.thing(\"can\", \"B-1\").isPresent())"
                                + ".quantity(\"twice\", 2.0 * replies.to(TIMES), \"g\", \"2 × times\")"
                                + ".with(new Answer.Chart(\"c\", \"x\", \"y\", List.of(new Answer.Point(1, 2)),"
                                + " List.of(new Answer.Mark(1, \"m\", true, \"\")), List.of(new Answer.Band(1, 2, 3, \"b\"))))"
                                + ".with(new Answer.Deeper(\"more\", List.of(new Answer.Text(\"deep\"))));"));
        assertEquals(DroppedIn.State.OFF, listed("good.jar").state());
        assertEquals(Map.of(), dropped.calculators(), "off until approved");
        DroppedIn.Listed approved = dropped.approve("good.jar");
        assertEquals(DroppedIn.State.APPROVED, approved.state(), approved.why());
        assertEquals("good", approved.offers().get(0).id());
        Answer answer = ask("good", "3");
        assertEquals(new Answer.Text("transparent base true"), answer.blocks().get(0));
        assertEquals(
                new Answer.Quantity("twice", 6, 0, "g", "2 × times"),
                answer.blocks().get(1));
        assertTrue(answer.blocks().get(2) instanceof Answer.Chart chart
                && chart.bands().get(0).high() == 3);
        assertTrue(answer.blocks().get(3) instanceof Answer.Deeper deeper
                && deeper.blocks().get(0).equals(new Answer.Text("deep")));
        BadInput bad = assertThrows(BadInput.class, () -> ask("good", "12"));
        assertTrue(String.valueOf(bad.getMessage()).contains("give a whole number from 1 to 9"), bad.getMessage());
        Files.write(dropped.folder().resolve("good.jar"), new byte[] {0}, java.nio.file.StandardOpenOption.APPEND);
        assertEquals(DroppedIn.State.CHANGED, listed("good.jar").state(), "another file is off again");
        assertEquals(Map.of(), dropped.calculators());
        assertEquals("good", dropped.check("good.jar").offers().get(0).id(), "looked at without approving it");
        assertEquals(DroppedIn.State.CHANGED, dropped.check("good.jar").state());
        dropped.approve("good.jar");
        dropped.revoke("good.jar");
        assertEquals(DroppedIn.State.OFF, listed("good.jar").state());
    }

    /** What goes wrong is named, the log takes a thousand events meanwhile, and the next question is answered. */
    private void harmless(String name, String members, String answer, String... said) throws IOException {
        String jar = name + ".jar";
        drop(jar, name, source(name, name.toLowerCase(java.util.Locale.ROOT), members, answer));
        assertEquals(DroppedIn.State.APPROVED, dropped.approve(jar).state());
        CompletableFuture<String> asked = CompletableFuture.supplyAsync(() -> {
            try {
                ask(name.toLowerCase(java.util.Locale.ROOT), "1");
                return "answered";
            } catch (BadInput bad) {
                return String.valueOf(bad.getMessage());
            }
        });
        long before = studio.log().last();
        for (int i = 0; i < 1_000; i++) {
            studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(new InkEvent.Named(new ThingId("can-1"), "B-1")));
        }
        assertEquals(before + 1_000, studio.log().last());
        String told = asked.join();
        for (String each : said) {
            assertTrue(told.contains(each), name + ": " + told);
        }
        assertTrue(listed(jar).error().contains(said[0]), listed(jar).toString());
        assertTrue(listed(jar).millis() >= 0);
    }

    @Test
    void an_endless_loop_is_stopped() throws IOException {
        harmless("Loops", "", "while (true) { Thread.onSpinWait(); }", "it gave no answer within 3 s and was stopped");
    }

    @Test
    void an_exit_ends_its_own_process_only() throws IOException {
        harmless("Exits", "", "System.exit(7); return null;", "its process ended with code 7");
    }

    @Test
    void a_flood_of_text_and_a_full_stack_are_failures_of_the_plugin() throws IOException {
        harmless(
                "Floods",
                "",
                "StringBuilder all = new StringBuilder(); while (true) { all.append(\"a very long text \".repeat(100000)); }",
                "OutOfMemoryError");
        harmless("Long", "", "return Answer.titled(\"x\").text(\"y\".repeat(20_000_000));", "its process ended");
        harmless(
                "Deep",
                "int deep(int n) { return deep(n + 1) + 1; }",
                "return Answer.titled(\"\" + deep(0));",
                "StackOverflowError");
    }

    @Test
    void stray_threads_and_printing_disturb_nobody() throws IOException {
        drop(
                "Strays.jar",
                "Strays",
                source(
                        "Strays",
                        "strays",
                        "",
                        "new Thread(() -> { while (true) { System.out.println(\"noise\"); } }).start();"
                                + "return Answer.titled(\"still here\");"));
        dropped.approve("Strays.jar");
        assertEquals("still here", ask("strays", "1").title());
        assertEquals("still here", ask("strays", "2").title());
    }

    @Test
    void what_cannot_even_introduce_itself_is_set_aside_by_name() throws IOException {
        drop(
                "Throws.jar",
                "Throws",
                source(
                        "Throws",
                        "throws",
                        "static { if (true) throw new IllegalStateException(\"no\"); }",
                        "return null;"));
        DroppedIn.Listed listed = dropped.approve("Throws.jar");
        assertEquals(DroppedIn.State.SET_ASIDE, listed.state());
        assertTrue(listed.why().contains("IllegalStateException: no"), listed.why());
    }

    @Test
    void files_that_are_no_plugins_are_set_aside_by_what_they_are() throws IOException {
        drop("whole.jar", "Whole", source("Whole", "whole", "", "return Answer.titled(\"w\");"));
        byte[] whole = Files.readAllBytes(dropped.folder().resolve("whole.jar"));
        Files.write(dropped.folder().resolve("cut.jar"), java.util.Arrays.copyOf(whole, whole.length / 2));
        Files.writeString(dropped.folder().resolve("text.jar"), "this is a letter to my aunt");
        drop("leads-out.jar", "LeadsOut", source("LeadsOut", "leads-out", "", "return null;"), "../../evil.class");
        drop("ours.jar", "Ours", source("Ours", "ours", "", "return null;"), "slabside/plugin/Answer.class");
        assertTrue(
                listed("cut.jar").why().startsWith("it is no JAR that can be read"),
                listed("cut.jar").why());
        assertTrue(
                listed("text.jar").why().startsWith("it is no JAR that can be read"),
                listed("text.jar").why());
        assertTrue(
                listed("leads-out.jar").why().contains("../../evil.class"),
                listed("leads-out.jar").why());
        assertTrue(
                listed("ours.jar").why().contains("slabside/plugin/Answer.class"),
                listed("ours.jar").why());
        for (String bad : List.of("cut.jar", "text.jar", "leads-out.jar", "ours.jar")) {
            assertEquals(DroppedIn.State.SET_ASIDE, listed(bad).state());
            assertThrows(BadInput.class, () -> dropped.approve(bad));
        }
        assertThrows(BadInput.class, () -> dropped.approve("../whole.jar"));
    }

    @Test
    void of_two_that_offer_one_id_the_first_has_it_and_a_bundled_one_before_all() throws IOException {
        drop("a.jar", "First", source("First", "same", "", "return Answer.titled(\"first\");"));
        drop("b.jar", "Second", source("Second", "same", "", "return Answer.titled(\"second\");"));
        drop("c.jar", "Third", source("Third", "taken", "", "return Answer.titled(\"third\");"));
        for (String jar : List.of("a.jar", "b.jar", "c.jar")) {
            dropped.approve(jar);
        }
        assertEquals("first", ask("same", "1").title());
        assertTrue(
                listed("b.jar").why().contains("another plugin offers [same] already"),
                listed("b.jar").why());
        assertFalse(dropped.calculators().containsKey("taken"));
        assertEquals(DroppedIn.State.SET_ASIDE, listed("c.jar").state());
    }

    /** From a plugin no class but the JDK's, the contract's and the science's can be loaded. */
    @Test
    void a_plugin_sees_the_contract_and_the_science_and_nothing_else_of_ours() throws IOException {
        drop(
                "Looks.jar",
                "Looks",
                source(
                        "Looks",
                        "looks",
                        "",
                        "StringBuilder seen = new StringBuilder(); int hidden = 0;"
                                + "for (String name : new String[] {\"slabside.plugin.Answer\", \"slabside.measure.Mass\","
                                + " \"slabside.statistics.Trend\", \"slabside.helper.Helper\", \"slabside.helper.Wire\","
                                + " \"slabside.log.SqliteEventLog\", \"slabside.event.InkEvent\", \"slabside.studio.Studio\","
                                + " \"com.fasterxml.jackson.databind.ObjectMapper\", \"org.sqlite.JDBC\","
                                + " \"org.hipparchus.util.FastMath\"}) {"
                                + "try { Class.forName(name); seen.append(name).append(' '); }"
                                + "catch (ClassNotFoundException notShown) { hidden++; } }"
                                + "return Answer.titled(seen + \"and \" + hidden + \" hidden\");"));
        dropped.approve("Looks.jar");
        assertEquals(
                "slabside.plugin.Answer slabside.measure.Mass slabside.statistics.Trend and 8 hidden",
                ask("looks", "1").title());
    }
}
