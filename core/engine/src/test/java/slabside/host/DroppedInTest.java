package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.lang.reflect.Proxy;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.jar.JarEntry;
import java.util.jar.JarFile;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.JavaCompiler;
import javax.tools.ToolProvider;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.log.Transfer;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.Progress;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;
import slabside.studio.Studio;
import slabside.views.Sentence;
import slabside.views.Timeline;

/** Plugins by strangers, good and bad, in processes of their own: each bad one is named and set aside, and the log goes on. */
class DroppedInTest {
    private static final Duration SHORT = Duration.ofSeconds(3);
    private static final Duration IDLE = Duration.ofMillis(1_500);

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
        dropped = new DroppedIn(folder.resolve("dropped"), folder.resolve("config"), Set.of("taken"), SHORT, IDLE);
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
            if (Stream.of(more).noneMatch(each -> each.startsWith("META-INF/services/"))) {
                service(out, "Calculator", name);
            }
            for (String entry : more) {
                if (entry.startsWith("META-INF/services/")) {
                    service(out, entry.replaceAll(".*\\.|=.*", ""), entry.replaceAll(".*=", ""));
                } else {
                    put(out, entry, new byte[] {1});
                }
            }
        }
    }

    private static void service(JarOutputStream out, String service, String name) throws IOException {
        put(out, "META-INF/services/slabside.plugin." + service, ("stranger." + name).getBytes(StandardCharsets.UTF_8));
    }

    private static void put(JarOutputStream out, String name, byte[] bytes) throws IOException {
        out.putNextEntry(new JarEntry(name));
        out.write(bytes);
        out.closeEntry();
    }

    private Answer ask(String id, String times) {
        Calculator calculator = dropped.asked().get(id);
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
        assertEquals(Map.of(), dropped.asked(), "off until approved");
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
        assertEquals(Map.of(), dropped.asked());
        assertEquals("good", dropped.check("good.jar").offers().get(0).id(), "looked at without approving it");
        assertEquals(DroppedIn.State.CHANGED, dropped.check("good.jar").state());
        dropped.approve("good.jar");
        dropped.revoke("good.jar");
        assertEquals(DroppedIn.State.OFF, listed("good.jar").state());
    }

    private void aThousandMore() {
        long before = studio.log().last();
        for (int i = 0; i < 100; i++) {
            studio.write(
                    new Actor(Studio.SOMEBODY, "this"),
                    Collections.nCopies(10, new LogEvent.Annotated(null, new ThingId("can-1"), "meanwhile")));
        }
        assertEquals(before + 1_000, studio.log().last());
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
        aThousandMore();
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
        aThousandMore();
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
        assertFalse(dropped.asked().containsKey("taken"));
        assertEquals(DroppedIn.State.SET_ASIDE, listed("c.jar").state());
    }

    /** From a plugin no class but the JDK's, the contract's and the science's can be loaded: every class on our path is tried. */
    @Test
    void a_plugin_sees_the_contract_and_the_science_and_nothing_else_of_ours() throws IOException {
        drop(
                "Looks.jar",
                "Looks",
                source(
                        "Looks",
                        "looks",
                        "static int loaded(ClassLoader loader, String name) {"
                                + "try { Class.forName(name, false, loader); return 1; }"
                                + "catch (ClassNotFoundException | LinkageError hidden) { return 0; } }",
                        "StringBuilder seen = new StringBuilder(); String entry = \"\";"
                                + "for (String name : studio.recipe(\"all\").stream().map(p -> p.material().name()).toList()) {"
                                + "int loads = loaded(Looks.class.getClassLoader(), name)"
                                + " + loaded(Thread.currentThread().getContextClassLoader(), name)"
                                + " + loaded(ClassLoader.getSystemClassLoader().getParent(), name)"
                                + " + loaded(studio.getClass().getClassLoader(), name);"
                                + "if (loads > 0) { seen.append(name).append('\\n'); }"
                                + "else if (loaded(ClassLoader.getSystemClassLoader(), name) > 0) { entry += name; } }"
                                + "return Answer.titled(entry).text(seen.toString());"));
        dropped.approve("Looks.jar");
        List<String> all = everyClass();
        assertTrue(all.size() > 5_000, "only " + all.size() + " classes on the path");
        StudioView tells = (StudioView) Proxy.newProxyInstance(
                StudioView.class.getClassLoader(),
                new Class<?>[] {StudioView.class},
                (proxy, method, given) -> all.stream()
                        .map(name -> new StudioView.Planned(new StudioView.Material("", name, "", ""), 1))
                        .toList());
        Calculator looks = dropped.asked().get("looks");
        Answer answer = looks.answer(Replies.read(looks.questions(), Map.of("times", "1")), tells);
        List<String> seen =
                ((Answer.Text) answer.blocks().get(0)).text().lines().toList();
        List<String> shown = all.stream()
                .filter(
                        name -> name.matches(
                                "(slabside\\.(measure|plugin|statistics|colour|body|looks)|org\\.jspecify\\.annotations)\\.[^.]+"))
                .toList();
        assertEquals(shown, seen, "the contract's and the science's, each of them, and no other");
        assertEquals(
                "slabside.helper.Helper",
                answer.title(),
                "whoever asks the system loader by name finds the class that the process was started with, no more");
    }

    /** Names of all classes in the JARs and folders of this test's own path. */
    private static List<String> everyClass() throws IOException {
        List<String> names = new ArrayList<>();
        for (String part : System.getProperty("java.class.path").split(java.io.File.pathSeparator)) {
            Path path = Path.of(part);
            if (Files.isDirectory(path)) {
                try (Stream<Path> files = Files.walk(path)) {
                    files.map(file -> path.relativize(file).toString()).forEach(names::add);
                }
            } else if (Files.exists(path)) {
                try (JarFile jar = new JarFile(path.toFile())) {
                    jar.stream().map(JarEntry::getName).forEach(names::add);
                }
            }
        }
        return names.stream()
                .filter(name ->
                        name.endsWith(".class") && !name.startsWith("META-INF") && !name.endsWith("-info.class"))
                .map(name -> name.substring(0, name.length() - 6).replace('/', '.'))
                .distinct()
                .sorted()
                .toList();
    }

    /** Writes to the pipe itself, past the helper. */
    private static String forging(String json) {
        return "java.io.DataOutputStream pipe = new java.io.DataOutputStream(new java.io.FileOutputStream(java.io.FileDescriptor.out));"
                + "byte[] forged = (" + json + ").getBytes(java.nio.charset.StandardCharsets.UTF_8);"
                + "try { pipe.writeInt(forged.length); pipe.write(forged); pipe.flush(); Thread.sleep(60_000); }"
                + "catch (Exception stopped) { throw new IllegalStateException(stopped); } return null;";
    }

    @Test
    void an_object_forged_over_the_pipe_is_no_answer() throws IOException {
        Path made = folder.resolve("made-by-a-forged-object");
        harmless(
                "ForgesBlock",
                "",
                forging(
                        "\"{\\\"answer\\\":{\\\"title\\\":\\\"t\\\",\\\"blocks\\\":[{\\\"block\\\":\\\"java.lang.ProcessBuilder\\\",\\\"command\\\":[\\\"touch\\\",\\\""
                                + made + "\\\"]}]}}\""),
                "what it answered is no answer");
        assertFalse(Files.exists(made));
        harmless(
                "ForgesKind",
                "",
                forging("\"{\\\"answer\\\":[\\\"java.util.HashMap\\\",{}]}\""),
                "what it answered is no answer");
        harmless(
                "ForgesGap",
                "",
                forging(
                        "\"{\\\"answer\\\":{\\\"title\\\":\\\"t\\\",\\\"blocks\\\":[{\\\"block\\\":\\\"Quantity\\\",\\\"label\\\":\\\"l\\\",\\\"value\\\":1}]}}\""),
                "what it answered is no answer");
        harmless("ForgesNothing", "", forging("\"{\\\"answer\\\":null}\""), "it answered nothing");
        harmless("ForgesDepth", "", forging("\"[\".repeat(1_000_000)"), "its process ended");
        harmless(
                "ForgesLength",
                "",
                "try { new java.io.DataOutputStream(new java.io.FileOutputStream(java.io.FileDescriptor.out)).writeInt(-5);"
                        + " Thread.sleep(60_000); } catch (Exception stopped) { } return null;",
                "its process ended");
    }

    @Test
    void the_studio_can_be_asked_only_what_the_contract_has() throws IOException {
        harmless(
                "AsksMore",
                "",
                forging("\"{\\\"studio\\\":\\\"getClass\\\",\\\"given\\\":[]}\""),
                "it gave no answer within 3 s");
    }

    @Test
    void a_gigabyte_of_print_disturbs_nobody() throws IOException {
        drop(
                "Prints.jar",
                "Prints",
                source(
                        "Prints",
                        "prints",
                        "",
                        "byte[] much = new byte[1 << 20]; Arrays.fill(much, (byte) 'x');"
                                + "for (int i = 0; i < 1_024; i++) { System.out.write(much, 0, much.length); }"
                                + "return Answer.titled(\"printed\");"));
        dropped.close();
        dropped = new DroppedIn(
                folder.resolve("dropped"), folder.resolve("config"), Set.of(), Duration.ofSeconds(60), IDLE);
        dropped.approve("Prints.jar");
        assertEquals("printed", ask("prints", "1").title());
    }

    @Test
    void one_that_nobody_asks_rests_by_the_clock_and_wakes_when_asked() throws Exception {
        drop("Rests.jar", "Rests", source("Rests", "rests", "", "return Answer.titled(\"awake\");"));
        dropped.approve("Rests.jar");
        assertEquals("awake", ask("rests", "1").title());
        assertEquals(List.of("Rests.jar"), dropped.awake());
        long until = System.nanoTime() + Duration.ofSeconds(20).toNanos();
        while (!dropped.awake().isEmpty() && System.nanoTime() < until) {
            Thread.sleep(50);
        }
        assertEquals(List.of(), dropped.awake(), "its process ended, though nobody asked anything");
        assertEquals("awake", ask("rests", "2").title());
    }

    /** Work that says how far it is may take longer than the deadline; called off, its process ends at once. */
    @Test
    void long_work_says_how_far_it_is_and_can_be_called_off() throws Exception {
        drop(
                "Long.jar",
                "Long",
                source(
                        "Long",
                        "long",
                        "public Answer answer(Replies replies, StudioView studio, Progress progress) {"
                                + "try { for (int i = 0; i < 50; i++) { Thread.sleep(replies.to(TIMES) * 100L);"
                                + " progress.at(i / 50.0, \"step \" + i); } } catch (InterruptedException e) { throw new IllegalStateException(e); }"
                                + " return Answer.titled(\"done\"); }",
                        "return null;"));
        dropped.approve("Long.jar");
        Calculator calculator = dropped.asked().get("long");
        List<String> said = Collections.synchronizedList(new ArrayList<>());
        StudioView view = studio.host().view();
        assertEquals(
                "done",
                calculator
                        .answer(
                                Replies.read(calculator.questions(), Map.of("times", "1")),
                                view,
                                (share, words) -> said.add(words))
                        .title(),
                "five seconds are longer than the deadline of three");
        assertEquals(50, said.size());
        assertEquals("step 49", said.get(49));
        assertThrows(
                Progress.CalledOff.class,
                () -> calculator.answer(
                        Replies.read(calculator.questions(), Map.of("times", "1")), view, (share, words) -> {
                            throw new Progress.CalledOff();
                        }));
        assertEquals(List.of(), dropped.awake(), "called off where it says how far it is");
        CompletableFuture<Throwable> stopped = new CompletableFuture<>();
        Thread asking = new Thread(() -> {
            try {
                calculator.answer(Replies.read(calculator.questions(), Map.of("times", "9")), view, Progress.NONE);
                stopped.complete(new AssertionError("it answered"));
            } catch (BadInput ended) {
                stopped.complete(ended);
            }
        });
        asking.start();
        Thread.sleep(500);
        asking.interrupt();
        assertTrue(String.valueOf(stopped.get().getMessage()).contains("it was stopped while it was asked"));
        assertEquals(List.of(), dropped.awake(), "called off between two signs");
    }

    private static final String OWN_EVENTS = """
            package stranger;
            import java.util.*;
            import slabside.measure.*;
            import slabside.plugin.*;
            public final class Keeps implements Importer {
                static final Question<Upload> FILE = Question.file("file", "Readings", ".txt");
                public static final class Read implements OwnEvent {
                    public String type() { return "store.read"; }
                    public int version() { return 1; }
                }
                public static final class Dry implements AuditCheck {
                    public Card card() { return new Card("dry-store", "Dry store", "Was the store dry?"); }
                    public List<StudioView.Check> check(StudioView.RunRecord run, StudioView studio) {
                        return List.of(new StudioView.Check("dry-store", "checked " + run.pulls().size() + " pulls, "
                                + studio.events(new Read()).size() + " readings", ""));
                    }
                }
                public Card card() { return new Card("keeps", "Keeps", "What was read?"); }
                public List<Question<?>> questions() { return List.of(FILE); }
                public Answer answer(Replies replies, StudioView studio) {
                    List<Answer.Proposal> all = new ArrayList<>();
                    for (String line : new String(replies.to(FILE).bytes()).split("\\n")) {
                        all.add(line.startsWith("foreign")
                                ? new Answer.Proposal("plugin.other.read", 1, Json.fields(), "x", List.of(), OptionalLong.empty())
                                : line.startsWith("ours")
                                        ? new Answer.Proposal(line.split(" ")[1], 1, Json.fields().with("thing", "can-1")
                                                .with(line.split(" ")[2], line.split(" ")[3]), "", List.of(), OptionalLong.of(5))
                                        : new Read().says("read " + line, Json.fields().with("damp", line)).about("can-1"));
                    }
                    return Answer.titled(replies.to(FILE).name()).with(new Answer.Proposed("read", all));
                }
            }
            """;

    /** The importer with its own events, dropped into the studio's own folder. */
    private Path keeps() throws IOException {
        Path jar = studio.host().droppedIn().folder().resolve("keeps.jar");
        drop(
                "keeps.jar",
                "Keeps",
                OWN_EVENTS,
                "META-INF/services/slabside.plugin.Importer=Keeps",
                "META-INF/services/slabside.plugin.OwnEvent=Keeps$Read",
                "META-INF/services/slabside.plugin.AuditCheck=Keeps$Dry");
        Files.createDirectories(jar.getParent());
        return Files.copy(dropped.folder().resolve("keeps.jar"), jar);
    }

    private static Map<String, String> uploaded(String text) {
        return Map.of(
                "file",
                Upload.of("C:\\folder\\readings.txt", "text/plain", text.getBytes(StandardCharsets.UTF_8))
                        .toString());
    }

    /** An importer proposes entries of its plugin's own; when the plugin is gone they stay, and can still be read. */
    @Test
    void entries_of_a_plugins_own_stay_when_it_is_gone() throws IOException {
        Path jar = keeps();
        Host host = studio.host();
        DroppedIn.Listed listed = host.droppedIn().approve("keeps.jar");
        assertEquals(List.of("plugin.store.read"), listed.events(), listed.why());
        assertEquals(
                List.of("keeps", "dry-store"),
                listed.offers().stream().map(card -> card.id()).toList());
        Answer answer = host.ask(host.calculator("keeps"), uploaded("48 %\n51 %"));
        assertEquals("readings.txt", answer.title(), "the name without the folders of whoever sent it");
        List<StudioEvent> events = Proposals.events(host, "keeps", Proposals.of(answer.blocks()));
        studio.write(new Actor(Studio.SOMEBODY, "this"), events);
        studio.views().catchUp();
        assertEquals(
                2,
                host.view().story("can-1", "").moments().stream()
                        .filter(moment -> moment.type().equals("plugin.store.read")
                                && moment.fields().at("damp").text().endsWith(" %"))
                        .count());
        StudioView.RunRecord run = new StudioView.RunRecord(
                "r", "r", "", "flat", false, Map.of(), List.of(), List.of(), List.of(), List.of());
        assertEquals(
                "checked 0 pulls, 2 readings",
                new AddedChecks(host.droppedIn().checks())
                        .to(run, host.view())
                        .checks()
                        .get(0)
                        .text());

        Files.delete(jar);
        assertThrows(BadInput.class, () -> host.calculator("keeps"));
        assertTrue(
                studio.views().timeline(Timeline.Filter.newest(10)).events().stream()
                        .anyMatch(
                                told -> Sentence.of(told.event(), studio::name).equals("read 48 %")),
                "told in its own words");
        assertEquals(Optional.empty(), studio.log().verify().wrong());
        ByteArrayOutputStream exported = new ByteArrayOutputStream();
        Transfer.export(studio.log(), exported);
        String log = exported.toString(StandardCharsets.UTF_8);
        assertTrue(log.contains("\"type\":\"plugin.store.read\"") && log.contains("\"damp\":\"51 %\""), "exported");
        Path copy = Files.write(folder.resolve("log.jsonl"), exported.toByteArray());
        try (Studio other = Studio.open(folder.resolve("other"), folder.resolve("other-config"), Clock.systemUTC())) {
            Transfer.adopt(other.log(), copy);
            other.views().catchUp();
            assertEquals(
                    2, other.views().ofType("plugin.store.read", 10).size(), "and read by a studio that never had it");
        }
    }

    @Test
    void what_may_not_be_proposed_is_refused_by_name() throws IOException {
        keeps();
        Host host = studio.host();
        host.droppedIn().approve("keeps.jar");
        for (Map.Entry<String, String> each : Map.of(
                        "foreign", "offers no event of this type",
                        "ours log.voided event x", "corrections are made by people",
                        "ours no.such-thing name x", "no such type",
                        "ours ink.named nmae x", "its fields are not those of version 1 of ink.named: [thing, name]",
                        "ours ink.named extra x", "its fields are not those",
                        "ours edition.closed edition edition-1", "left to people")
                .entrySet()) {
            List<Answer.Proposal> proposed = Proposals.of(
                    host.ask(host.calculator("keeps"), uploaded(each.getKey())).blocks());
            BadInput refused = assertThrows(BadInput.class, () -> Proposals.events(host, "keeps", proposed));
            assertTrue(String.valueOf(refused.getMessage()).contains(each.getValue()), refused.getMessage());
        }
        List<Answer.Proposal> named =
                Proposals.of(host.ask(host.calculator("keeps"), uploaded("ours ink.named name Old"))
                        .blocks());
        assertEquals(List.of(new InkEvent.Named(new ThingId("can-1"), "Old")), Proposals.events(host, "keeps", named));
    }

    @Test
    void of_two_with_one_prefix_the_first_has_it() throws IOException {
        for (String name : List.of("a", "b")) {
            drop(
                    name + ".jar",
                    "Keeps",
                    OWN_EVENTS.replace("\"keeps\"", "\"keeps-" + name + "\"").replace("dry-store", "dry-" + name),
                    "META-INF/services/slabside.plugin.Importer=Keeps",
                    "META-INF/services/slabside.plugin.OwnEvent=Keeps$Read");
            dropped.approve(name + ".jar");
        }
        assertEquals(List.of("plugin.store.read"), listed("a.jar").events());
        assertEquals(List.of(), listed("b.jar").events());
        assertTrue(
                listed("b.jar").why().contains("another plugin has the prefix [store] already"),
                listed("b.jar").why());
        assertEquals(Optional.of(1), dropped.version("plugin.store.read", "keeps-a"));
        assertEquals(
                Optional.empty(), dropped.version("plugin.store.read", "keeps-b"), "it may not write for the other");
    }

    /** A plugin's calculator may ask for a run while its own check is asked about that run. */
    @Test
    void a_plugin_may_be_asked_what_its_own_check_is_asked_about() throws IOException {
        drop(
                "Both.jar",
                "Both",
                source(
                        "Both",
                        "both",
                        "public static final class Never implements AuditCheck {"
                                + "public Card card() { return new Card(\"never\", \"Never\", \"?\"); }"
                                + "public List<StudioView.Check> check(StudioView.RunRecord run, StudioView studio) {"
                                + "return List.of(new StudioView.Check(\"never\", \"looked at \" + run.run(), \"\")); } }",
                        "return Answer.titled(\"both\").text(studio.runRecord(\"run-x\").map(run ->"
                                + " run.checks().get(run.checks().size() - 1).text()).orElse(\"none\"));"),
                "META-INF/services/slabside.plugin.Calculator=Both",
                "META-INF/services/slabside.plugin.AuditCheck=Both$Never");
        dropped.approve("Both.jar");
        studio.write(
                new Actor(Studio.SOMEBODY, "this"),
                List.of(
                        new EditionEvent.Planned(
                                new ThingId("edition-x"),
                                "X",
                                null,
                                10,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null),
                        new EditionEvent.RunPlanned(
                                new ThingId("run-x"), new ThingId("edition-x"), 1, Surface.FLAT, null, null, null)));
        studio.views().catchUp();
        Calculator both = dropped.asked().get("both");
        StudioView view = new LogView(
                studio.views(),
                studio.runs(),
                studio.shelf(),
                studio::name,
                () -> new Mass(100),
                new AddedChecks(dropped.checks()));
        assertEquals(
                new Answer.Text("looked at run-x"),
                both.answer(Replies.read(both.questions(), Map.of("times", "1")), view)
                        .blocks()
                        .get(0));
    }

    /** A question that waited behind one that hung gets a new process, and its answer. */
    @Test
    void a_question_behind_one_that_hangs_is_answered_by_a_new_process() throws Exception {
        drop(
                "Hangs.jar",
                "Hangs",
                source(
                        "Hangs",
                        "hangs",
                        "",
                        "if (replies.to(TIMES) == 9) { while (true) { Thread.onSpinWait(); } } return Answer.titled(\"good\");"));
        dropped.approve("Hangs.jar");
        CompletableFuture<String> hanging = CompletableFuture.supplyAsync(() -> {
            try {
                return ask("hangs", "9").title();
            } catch (BadInput stopped) {
                return String.valueOf(stopped.getMessage());
            }
        });
        Thread.sleep(300);
        assertEquals("good", ask("hangs", "1").title());
        assertTrue(hanging.join().contains("it gave no answer within 3 s"), hanging.join());
    }

    @Test
    void what_a_plugin_printed_and_its_own_failures_are_told_in_its_own_words() throws IOException {
        harmless(
                "Prints2",
                "",
                "System.out.println(\"my last words\"); System.out.flush(); System.exit(3); return null;",
                "its process ended with code 3; it had printed: my last words");
        harmless(
                "Unchecked",
                "",
                "throw new java.io.UncheckedIOException(new java.io.IOException(\"my file is gone\"));",
                "my file is gone");
    }

    /** However its host ends, a busy plugin's process ends too. */
    @Test
    void a_busy_process_does_not_outlive_its_host() throws Exception {
        drop("Busy.jar", "Busy", source("Busy", "busy", "", "while (true) { Thread.onSpinWait(); }"));
        Path jar = dropped.folder().resolve("Busy.jar");
        String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
        String path = System.getProperty("java.class.path");
        // A shell as the host, which is killed while its helper is busy.
        Process host = new ProcessBuilder(
                        "sh",
                        "-c",
                        "'" + java + "' -cp '" + path + "' slabside.helper.Helper '" + jar + "' < '" + pipe(jar)
                                + "' & echo $!; sleep 60")
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        long pid = Long.parseLong(
                new java.io.BufferedReader(new java.io.InputStreamReader(host.getInputStream(), StandardCharsets.UTF_8))
                        .readLine());
        Thread.sleep(2_000);
        assertTrue(ProcessHandle.of(pid).map(ProcessHandle::isAlive).orElse(false), "it is busy");
        host.destroyForcibly().waitFor();
        long until = System.nanoTime() + Duration.ofSeconds(20).toNanos();
        while (ProcessHandle.of(pid).map(ProcessHandle::isAlive).orElse(false) && System.nanoTime() < until) {
            Thread.sleep(100);
        }
        assertFalse(ProcessHandle.of(pid).map(ProcessHandle::isAlive).orElse(false), "it ended with its host");
    }

    /** The questions that make it busy, as a file. */
    private Path pipe(Path jar) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        java.io.DataOutputStream out = new java.io.DataOutputStream(bytes);
        for (String ask : List.of(
                "{\"ask\":\"offers\"}", "{\"ask\":\"answer\",\"calculator\":\"busy\",\"replies\":{\"times\":\"1\"}}")) {
            byte[] message = ask.getBytes(StandardCharsets.UTF_8);
            out.writeInt(message.length);
            out.write(message);
        }
        return Files.write(jar.resolveSibling("questions"), bytes.toByteArray());
    }

    /** Nothing is ever written that cannot be read back. */
    @Test
    void an_entry_too_deep_to_be_read_is_refused() throws IOException {
        keeps();
        studio.host().droppedIn().approve("keeps.jar");
        for (int depth : List.of(10, 19, 22, 49, 2_000)) {
            Json deep = new Json.Text("x");
            for (int i = 0; i < depth; i++) {
                deep = new Json.Items(List.of(deep));
            }
            List<Answer.Proposal> proposed = List.of(new Answer.Proposal(
                    "plugin.store.read",
                    1,
                    Json.fields().with("in", deep),
                    "x",
                    List.of(),
                    java.util.OptionalLong.empty()));
            if (depth < 19) {
                studio.write(new Actor(Studio.SOMEBODY, "this"), Proposals.events(studio.host(), "keeps", proposed));
                studio.views().catchUp();
            } else {
                assertThrows(
                        BadInput.class, () -> Proposals.events(studio.host(), "keeps", proposed), "depth " + depth);
            }
        }
        StringBuilder nested = new StringBuilder("1");
        for (int i = 0; i < 46; i++) {
            nested.insert(0, "[").append("]");
        }
        slabside.event.PluginEvent tooDeep = new slabside.event.PluginEvent(
                "plugin.store.read", 1, "x", List.of(), new slabside.event.RawBody("{\"in\":" + nested + "}"));
        long before = studio.log().last();
        assertThrows(BadInput.class, () -> studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(tooDeep)));
        assertEquals(before, studio.log().last());
        studio.close();
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
    }

    @Test
    void an_entry_about_nothing_or_from_before_the_log_is_refused() throws IOException {
        keeps();
        Host host = studio.host();
        host.droppedIn().approve("keeps.jar");
        Answer.Proposal good = new Answer.Proposal(
                "plugin.store.read", 1, Json.fields(), "x", List.of("can-1"), java.util.OptionalLong.empty());
        assertEquals(1, Proposals.events(host, "keeps", List.of(good)).size());
        assertTrue(String.valueOf(assertThrows(
                                BadInput.class, () -> Proposals.events(host, "keeps", List.of(good.about("can-99"))))
                        .getMessage())
                .contains("nothing in the log has the id can-99"));
        assertThrows(BadInput.class, () -> Proposals.events(host, "keeps", List.of(good.at(Long.MIN_VALUE))));
    }
}
