package slabside.web;

import static java.nio.charset.StandardCharsets.UTF_8;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import io.javalin.Javalin;
import io.javalin.config.SizeUnit;
import io.javalin.http.Context;
import io.javalin.http.Handler;
import io.javalin.http.HandlerType;
import io.javalin.http.HttpResponseException;
import io.javalin.http.HttpStatus;
import io.javalin.http.sse.SseHandler;
import io.javalin.util.JavalinException;
import jakarta.servlet.ServletRequest;
import jakarta.servlet.ServletRequestWrapper;
import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.CountDownLatch;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.eclipse.jetty.ee10.servlet.ServletApiRequest;
import org.eclipse.jetty.http.BadMessageException;
import org.eclipse.jetty.server.HttpConnectionFactory;
import org.eclipse.jetty.server.ServerConnector;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.keeping.Daily;
import slabside.log.LogTrouble;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.warning.Guards;
import slabside.warning.Warning;
import slabside.warning.Warnings;

/**
 * The pages of one studio on this machine. Answers only to its own exact address, writes only from its own pages, asks
 * nothing of any other machine. The routes stand here, each page in a class of its own.
 */
final class Server implements AutoCloseable {
    private static final Map<String, String> FILES = Map.of(
            "css", "text/css; charset=utf-8",
            "js", "text/javascript; charset=utf-8",
            "woff2", "font/woff2",
            "svg", "image/svg+xml",
            "webmanifest", "application/manifest+json",
            "html", "text/html; charset=utf-8");
    private static final ObjectMapper JSON = new ObjectMapper();

    private final TemplateEngine templates =
            TemplateEngine.createPrecompiled(null, ContentType.Html, Server.class.getClassLoader(), "slabside.web");
    private final Desk desk;
    private final Live live;
    private final Taps taps;
    private final Work work;
    private final SharingPage sharing;
    private final Daily daily;
    private final Javalin javalin;
    private final Optional<NetworkDoor> network;
    private final Guard guard;
    private final CountDownLatch stopped = new CountDownLatch(1);
    private final List<Route> routes;

    /**
     * One thing that can be asked of this server.
     *
     * @param method GET or POST; every POST is a write
     */
    record Route(HandlerType method, String path, Guard.Access access, Handler handler) {}

    private Server(Studio studio, int port, Optional<NetworkDoor> network) {
        desk = new Desk(studio);
        this.network = network;
        guard = new Guard(desk, () -> port(0), this::networkAddresses);
        live = new Live(studio);
        taps = new Taps(studio);
        work = new Work(studio.host(), studio.log().clock());
        sharing = new SharingPage(desk);
        daily = new Daily(studio);
        routes = routes();
        javalin = Javalin.create(config -> {
            config.startup.showJavalinBanner = false;
            config.startup.showOldJavalinVersionWarning = false;
            config.startup.startupWatcherEnabled = false;
            config.http.maxRequestSize = Guard.LARGEST_FORM;
            config.http.generateEtags = false;
            config.jetty.multipartConfig.maxFileSize(Guard.LARGEST_MEDIA / 1024 / 1024, SizeUnit.MB);
            config.jetty.multipartConfig.maxTotalRequestSize(Guard.LARGEST_MEDIA / 1024 / 1024 + 1, SizeUnit.MB);
            config.jetty.multipartConfig.maxInMemoryFileSize((int) (Guard.LARGEST_MEDIA / 1024 / 1024), SizeUnit.MB);
            config.http.prefer405over404 = true;
            config.jetty.modifyServer(server -> server.setStopTimeout(5_000));
            config.jetty.addConnector((server, http) -> {
                ServerConnector here = new ServerConnector(server, new HttpConnectionFactory(http));
                here.setHost("127.0.0.1");
                here.setPort(port);
                return here;
            });
            network.ifPresent(open -> config.jetty.addConnector((server, http) -> open.connector(server, http)));
            config.jetty.modifyHttpConfiguration(http -> http.setSendServerVersion(false));
            config.routes.before(guard::before);
            routes.forEach(route -> config.routes.addHttpHandler(route.method, route.path, ctx -> {
                guard.allow(ctx, route.access);
                route.handler.handle(ctx);
            }));
            config.routes.exception(
                    BadInput.class, (bad, ctx) -> problem(ctx, 400, "That cannot be taken", bad.getMessage()));
            config.routes.exception(
                    LogTrouble.class, (bad, ctx) -> problem(ctx, 503, "The log says no", bad.getMessage()));
            config.routes.exception(
                    HttpResponseException.class, (bad, ctx) -> problem(ctx, bad.getStatus(), "No", bad.getMessage()));
            config.routes.exception(Exception.class, (bad, ctx) -> {
                if (bad.getCause() instanceof BadMessageException sent) {
                    // The rest of it lies on this connection still.
                    ctx.header("Connection", "close");
                    problem(
                            ctx,
                            400,
                            "That cannot be taken",
                            "It did not come through whole; send it again (" + sent.getReason() + ").");
                } else if (!isGone(ctx)) {
                    problem(ctx, 500, "Something went wrong that was not foreseen", bad + Trouble.keep(bad));
                }
            });
            config.routes.error(
                    404, "*", ctx -> problem(ctx, 404, "Nothing here", "There is no page " + ctx.path() + "."));
        });
    }

    /**
     * Whether whoever asked has gone and the request was taken away already, as happens when a live page is closed at the
     * moment its connection is ended. Answering it would fail again and again.
     */
    private static boolean isGone(Context ctx) {
        ServletRequest request = ctx.req();
        while (request instanceof ServletRequestWrapper wrapper) {
            request = wrapper.getRequest();
        }
        return request instanceof ServletApiRequest asked && asked.getRequest() == null;
    }

    /** Every route of the pages, in one table; a test asks each of them wrongly in every way. */
    private List<Route> routes() {
        Warnings warnings = new Warnings(desk.studio.views(), desk.studio.runs(), desk.studio.shelf());
        Guards guards = new Guards(desk.studio.views(), desk.studio.runs());
        BenchDeeds benchDeeds = new BenchDeeds(desk, taps, warnings);
        PressDeeds pressDeeds = new PressDeeds(desk, taps, warnings, guards);
        BenchPage bench = new BenchPage(desk, benchDeeds);
        PressPage press = new PressPage(desk, pressDeeds);
        TimelinePage timeline = new TimelinePage(desk);
        WritePage write = new WritePage(desk, guards);
        MediaRoutes media = new MediaRoutes(desk.studio);
        ThingPage things = new ThingPage(desk);
        RebuildPage rebuilds = new RebuildPage(desk);
        EditionDeeds editionDeeds = new EditionDeeds(desk, guards);
        EditionPage editions = new EditionPage(desk);
        CuratingPage curating = new CuratingPage(desk);
        StonesPage stones = new StonesPage(desk);
        ShelfPage shelf = new ShelfPage(desk);
        CalculatorPage calculators = new CalculatorPage(
                desk, work, () -> networkAddresses().stream().findFirst().orElse("http://127.0.0.1:" + port(0)));
        AnswerDeeds answers = new AnswerDeeds(desk, calculators);
        LabelPage labels = new LabelPage(desk);
        HelpPage help = new HelpPage(desk);
        SafekeepingPage safekeeping = new SafekeepingPage(desk, daily);
        TodayPage today = new TodayPage(
                desk,
                frame -> Stream.concat(
                                safekeeping.toKnow().stream(),
                                frame.host() ? sharing.toKnow().stream() : Stream.empty())
                        .toList());
        PluginsPage plugins = new PluginsPage(desk);
        DevicesPage devices = new DevicesPage(desk, this::networkAddresses, network.map(NetworkDoor::served));
        return List.of(
                get("/", ctx -> ctx.redirect("/today")),
                get("/today", ctx -> show(ctx, "today", today.page())),
                get("/bench", ctx -> show(ctx, "bench", bench.list(ctx.queryParamMap()))),
                post("/bench/start", ctx -> take(ctx, benchDeeds::start)),
                get(
                        "/bench/{mix}",
                        ctx -> show(ctx, "mixing", bench.mixing(ctx.pathParam("mix"), ctx.queryParamMap()))),
                post(
                        "/bench/{mix}/{deed}",
                        ctx -> take(ctx, tap -> benchDeeds.of(ctx.pathParam("mix"), ctx.pathParam("deed"), tap))),
                get("/press", ctx -> show(ctx, "press", press.list())),
                get(
                        "/press/{run}",
                        ctx -> show(ctx, "pulling", press.pulling(ctx.pathParam("run"), ctx.queryParamMap()))),
                get(
                        "/press/{run}/sheet",
                        ctx -> show(ctx, "runsheet", press.tallied(ctx.pathParam("run"), ctx.queryParamMap()))),
                get(
                        "/press/{run}/live",
                        // A page is told from another thread than the one that it asked on.
                        ctx -> {
                            String device = desk.visitor().device();
                            new SseHandler(client -> live.watch(client, new ThingId(ctx.pathParam("run")), device))
                                    .handle(ctx);
                        }),
                post(
                        "/press/{run}/{deed}",
                        ctx -> take(ctx, tap -> pressDeeds.of(ctx.pathParam("run"), ctx.pathParam("deed"), tap))),
                post(
                        "/today/dry/{run}",
                        ctx -> take(ctx, tap -> benchDeeds.dryness(new ThingId(ctx.pathParam("run")), tap))),
                post(Guard.ATTACH, ctx -> take(ctx, tap -> media.attach(ctx, tap))),
                get("/attached/{sha}", media::attached),
                get("/write", ctx -> show(ctx, "write", write.list())),
                get(
                        "/write/{type}",
                        ctx -> show(ctx, "record", write.page(ctx.pathParam("type"), ctx.queryParamMap()))),
                post("/write/{type}", ctx -> take(ctx, tap -> write.write(ctx.pathParam("type"), tap))),
                get("/event/{pos}/put-right", ctx -> show(ctx, "record", write.amending(ctx.pathParam("pos")))),
                post("/event/{pos}/put-right", ctx -> take(ctx, tap -> write.amend(ctx.pathParam("pos"), tap))),
                get("/timeline", ctx -> show(ctx, "timeline", timeline.list(ctx.queryParamMap()))),
                get("/event/{pos}", ctx -> show(ctx, "event", timeline.event(ctx.pathParam("pos")))),
                post(
                        "/event/{pos}/take-back",
                        ctx -> take(ctx, tap -> timeline.takeBack(ctx.pathParam("pos"), tap, taps))),
                post("/event/{pos}/settle", ctx -> take(ctx, tap -> timeline.settle(ctx.pathParam("pos"), tap))),
                new Route(HandlerType.POST, "/event/{pos}/forget", Guard.Access.HOST, ctx -> {
                    safekeeping.forgetFile(ctx.pathParam("pos"), new Form(ctx.formParamMap()));
                    ctx.redirect("/event/" + ctx.pathParam("pos"), HttpStatus.SEE_OTHER);
                }),
                get("/editions", ctx -> show(ctx, "editions", editions.list())),
                get(
                        "/edition/{id}",
                        ctx -> show(ctx, "edition", editions.page(ctx.pathParam("id"), ctx.queryParamMap()))),
                get(
                        "/edition/{id}/curate",
                        ctx -> show(ctx, "curating", curating.curating(ctx.pathParam("id"), ctx.queryParamMap()))),
                get("/edition/{id}/number", ctx -> show(ctx, "numbering", curating.numbering(ctx.pathParam("id")))),
                post(
                        "/edition/{id}/{deed}",
                        ctx -> take(ctx, tap -> editionDeeds.of(ctx.pathParam("id"), ctx.pathParam("deed"), tap))),
                get("/thing/{id}", ctx -> {
                    desk.studio.views().catchUp();
                    if (desk.thing(ctx.pathParam("id")).kind().equals("edition")) {
                        ctx.redirect("/edition/" + ctx.pathParam("id"));
                    } else {
                        show(ctx, "thing", things.page(ctx.pathParam("id"), ctx.queryParamMap()));
                    }
                }),
                get(
                        "/thing/{id}/rebuild",
                        ctx -> show(ctx, "rebuild", rebuilds.page(ctx.pathParam("id"), ctx.queryParamMap()))),
                post("/thing/{id}/rebuild", ctx -> take(ctx, tap -> rebuilds.startNew(ctx.pathParam("id"), tap))),
                get(
                        "/thing/{id}/trace",
                        ctx -> show(ctx, "answer", things.trace(ctx.pathParam("id"), ctx.queryParamMap()))),
                get("/thing/{id}/weighings", ctx -> show(ctx, "answer", things.weighings(ctx.pathParam("id")))),
                get("/stones", ctx -> show(ctx, "stones", stones.list())),
                get("/find", ctx -> found(ctx, labels.look(Desk.first(ctx.queryParamMap(), "label")))),
                new Route(HandlerType.POST, "/find/photo", Guard.Access.LOOK, ctx -> found(ctx, labels.photo(ctx))),
                get("/shelf", ctx -> show(ctx, "shelf", shelf.page())),
                get("/calculators", ctx -> show(ctx, "calculators", calculators.list(false))),
                get("/documents", ctx -> show(ctx, "calculators", calculators.list(true))),
                get("/calculators/{id}", ctx -> {
                    CalculatorPage.Page page = calculators.page(ctx.pathParam("id"), ctx.queryParamMap());
                    show(ctx, page.template(), page.page());
                }),
                new Route(
                        HandlerType.POST,
                        "/calculators/{id}",
                        Guard.Access.LOOK,
                        ctx -> ctx.redirect(calculators.post(ctx.pathParam("id"), ctx), HttpStatus.SEE_OTHER)),
                get(
                        "/calculators/{id}/as/{format}",
                        ctx -> calculators.as(ctx.pathParam("id"), ctx.pathParam("format"), ctx)),
                new Route(HandlerType.POST, "/calculators/{id}/call-off", Guard.Access.LOOK, ctx -> {
                    calculators
                            .held(ctx.pathParam("id"), new Form(ctx.formParamMap()).text(CalculatorPage.HELD))
                            .callOff();
                    ctx.redirect("/calculators/" + ctx.pathParam("id"), HttpStatus.SEE_OTHER);
                }),
                post(
                        "/calculators/{id}/{deed}",
                        ctx -> take(ctx, tap -> answers.of(ctx.pathParam("id"), ctx.pathParam("deed"), tap))),
                get("/help/plugins", ctx -> show(ctx, "help-plugins", help.page())),
                get("/at", ctx -> show(ctx, "at", devices.who(ctx.queryParamMap()))),
                new Route(HandlerType.POST, "/at", Guard.Access.LOOK, ctx -> {
                    devices.at(new Form(ctx.formParamMap()));
                    ctx.redirect("/today", HttpStatus.SEE_OTHER);
                }),
                new Route(HandlerType.GET, "/join", Guard.Access.ANYBODY, ctx -> show(ctx, "join", devices.joining())),
                new Route(HandlerType.POST, "/join", Guard.Access.ANYBODY, ctx -> door().join(ctx, desk)),
                new Route(HandlerType.GET, "/join/studio.crt", Guard.Access.ANYBODY, ctx -> door().certificate(ctx)),
                new Route(HandlerType.GET, "/devices", Guard.Access.HOST, ctx -> show(ctx, "devices", devices.page())),
                new Route(HandlerType.GET, "/plugins", Guard.Access.HOST, ctx -> show(ctx, "plugins", plugins.page())),
                new Route(HandlerType.GET, "/sharing", Guard.Access.HOST, ctx -> show(ctx, "sharing", sharing.page())),
                host("/sharing/make", "/sharing", sharing::make),
                host("/sharing/join", "/sharing", sharing::join),
                host("/sharing/now", "/sharing", form -> sharing.now()),
                host("/sharing/leave", "/sharing", sharing::leave),
                host("/plugins/approve", "/plugins", plugins::approve),
                host("/plugins/revoke", "/plugins", plugins::revoke),
                host("/devices/invite", "/devices", devices::invite),
                new Route(HandlerType.POST, "/devices/{id}/shut-out", Guard.Access.HOST, ctx -> {
                    desk.devices.revoke(ctx.pathParam("id"));
                    live.leave(ctx.pathParam("id"));
                    ctx.redirect("/devices", HttpStatus.SEE_OTHER);
                }),
                host("/safekeeping/may-stay", "/safekeeping", form -> safekeeping.mayStay()),
                host("/safekeeping/copy", "/safekeeping", form -> safekeeping.copy()),
                host("/safekeeping/forget", "/safekeeping", safekeeping::forgetName),
                get("/safekeeping", ctx -> show(ctx, "safekeeping", safekeeping.page(false))),
                post("/safekeeping/verify", ctx -> show(ctx, "safekeeping", safekeeping.page(true))),
                new Route(HandlerType.GET, "/sw.js", Guard.Access.ANYBODY, ctx -> file(ctx, "sw.js")),
                new Route(
                        HandlerType.GET,
                        "/static/<file>",
                        Guard.Access.ANYBODY,
                        ctx -> file(ctx, ctx.pathParam("file"))));
    }

    private void found(Context ctx, LabelPage.Looked looked) {
        looked.where()
                .ifPresentOrElse(
                        where -> ctx.redirect(where, HttpStatus.SEE_OTHER), () -> show(ctx, "label", looked.page()));
    }

    private static Route get(String path, Handler handler) {
        return new Route(HandlerType.GET, path, Guard.Access.LOOK, handler);
    }

    private static Route post(String path, Handler handler) {
        return new Route(HandlerType.POST, path, Guard.Access.KEEP, handler);
    }

    /** Something done on the studio's own machine alone, which goes on with a page. */
    private static Route host(String path, String onward, Consumer<Form> deed) {
        return new Route(HandlerType.POST, path, Guard.Access.HOST, ctx -> {
            deed.accept(new Form(ctx.formParamMap()));
            ctx.redirect(onward, HttpStatus.SEE_OTHER);
        });
    }

    /** For the test that asks each route wrongly. */
    List<Route> table() {
        return routes;
    }

    /** Writes a tap down and goes on; a script gets told in JSON, a plain form is sent to the next page. */
    private void take(Context ctx, Taps.Deed deed) throws JsonProcessingException {
        Tap tap = Tap.of(
                ctx.formParamMap(),
                desk.visitor().actor(),
                desk.studio.log().clock(),
                new EventId(desk.frame("", "").tap()));
        Taps.Done done = taps.take(tap, deed);
        if (isScript(ctx)) {
            ctx.status(done.stops().isEmpty() ? 200 : 409);
            json(ctx, Taps.json(done));
        } else if (done.stops().isEmpty()) {
            ctx.redirect(done.where(), HttpStatus.SEE_OTHER);
        } else {
            ctx.status(409);
            show(ctx, "stop", Stop.of(desk.frame("Stop and look", ""), ctx.path(), ctx.formParamMap(), done));
        }
    }

    private static boolean isScript(Context ctx) {
        return "1".equals(ctx.header("Slabside-Tap"));
    }

    private static void json(Context ctx, Object value) throws JsonProcessingException {
        ctx.contentType("application/json").result(JSON.writeValueAsBytes(value));
    }

    /**
     * A stop for a browser without script: what was typed goes along unseen, and one button confirms it.
     *
     * @param fields name and value of each
     */
    public record Stop(
            Frame frame, String action, List<Map.Entry<String, String>> fields, List<Warning> stops, String back) {
        static Stop of(Frame frame, String action, Map<String, List<String>> form, Taps.Done done) {
            List<Map.Entry<String, String>> fields = new ArrayList<>();
            form.forEach((name, values) -> values.forEach(value -> fields.add(Map.entry(name, value))));
            done.stops().forEach(stop -> fields.add(Map.entry("confirmed", EventCodec.word(stop.rule()))));
            return new Stop(frame, action, fields, done.stops(), done.where());
        }
    }

    /** Starts on a port of this machine only; 0 takes any that is free. */
    static Server start(Studio studio, int port) {
        return start(studio, port, OptionalInt.empty());
    }

    /** Starts on a port of this machine and, where one is named, on a port for the local network. */
    static Server start(Studio studio, int port, OptionalInt network) {
        Optional<NetworkDoor> open = network.isPresent()
                ? Optional.of(new NetworkDoor(
                        network.getAsInt(),
                        new StudioCertificates(studio.config(), studio.log().clock()).served()))
                : Optional.empty();
        Server server = new Server(studio, port, open);
        try {
            server.javalin.start();
        } catch (JavalinException taken) {
            throw new LogTrouble(
                    "The port " + port
                            + (network.isPresent() ? " or the network's port " + network.getAsInt() : "")
                            + " is taken. Choose another with --port or --network-port, or 0 for any that is free.",
                    taken);
        }
        return server;
    }

    String address() {
        return "http://127.0.0.1:" + port(0);
    }

    /** The port of a connector: first that of this machine, then that of the network. */
    private int port(int connector) {
        return ((ServerConnector) javalin.jettyServer().server().getConnectors()[connector]).getLocalPort();
    }

    private NetworkDoor door() {
        return network.orElseThrow(() -> new HttpResponseException(404, "The local network is not let in.", Map.of()));
    }

    /** Where other devices reach the pages; empty when they cannot. */
    List<String> networkAddresses() {
        return network.map(open -> open.served().names().stream()
                        .map(name -> "https://" + name + ":" + port(1))
                        .toList())
                .orElse(List.of());
    }

    /** Waits until the server is closed. */
    void join() {
        try {
            stopped.await();
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }

    @Override
    public void close() {
        live.close();
        sharing.close();
        daily.close();
        work.close();
        javalin.stop();
        stopped.countDown();
    }

    private void show(Context ctx, String template, Object page) {
        StringOutput out = new StringOutput();
        templates.render(template + ".jte", page, out);
        ctx.contentType("text/html; charset=utf-8").result(out.toString().getBytes(UTF_8));
    }

    private void problem(Context ctx, int status, String title, @org.jspecify.annotations.Nullable String text) {
        Guard.HEADERS.forEach(ctx::header);
        ctx.status(status);
        String words = text == null ? "" : text;
        if (isScript(ctx)) {
            ctx.contentType("application/json")
                    .result(JSON.createObjectNode().put("problem", words).toString());
        } else {
            show(ctx, "problem", new Problem(desk.frame(title, ""), words, status == 401 ? "/join" : "/timeline"));
        }
    }

    /**
     * An error as a page shows it.
     *
     * @param onward where to go from it
     */
    public record Problem(Frame frame, String text, String onward) {}

    private void file(Context ctx, String name) throws IOException {
        String ending = name.substring(name.lastIndexOf('.') + 1);
        String resource = name.equals("htmx.js")
                ? "META-INF/resources/webjars/htmx.org/2.0.10/dist/htmx.min.js"
                : "static/" + name;
        if (name.contains("..") || !FILES.containsKey(ending)) {
            throw new HttpResponseException(404, "There is no such file.", Map.of());
        }
        try (InputStream in = Server.class.getClassLoader().getResourceAsStream(resource)) {
            if (in == null) {
                throw new HttpResponseException(404, "There is no such file.", Map.of());
            }
            ctx.header("Cache-Control", "max-age=3600")
                    .contentType(FILES.get(ending))
                    .result(in.readAllBytes());
        }
    }
}
