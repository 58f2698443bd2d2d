package slabside.web;

import static java.nio.charset.StandardCharsets.UTF_8;

import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import io.javalin.Javalin;
import io.javalin.http.Context;
import io.javalin.http.HandlerType;
import io.javalin.http.HttpResponseException;
import io.javalin.util.JavalinBindException;
import java.io.IOException;
import java.io.InputStream;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import slabside.log.LogTrouble;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/**
 * The pages of one studio on this machine. Answers only to its own exact address, writes only from its own pages, asks
 * nothing of any other machine. The routes stand here, each page in a class of its own.
 */
final class Server implements AutoCloseable {
    private static final long LARGEST_BODY = 64 * 1024;
    // With "no-referrer" a browser sends "Origin: null" with its own forms, which the guard refuses.
    private static final Map<String, String> HEADERS = Map.of(
            "Content-Security-Policy",
            "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; img-src 'self'; connect-src 'self';"
                    + " form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
            "X-Content-Type-Options",
            "nosniff",
            "Referrer-Policy",
            "same-origin",
            "Cross-Origin-Resource-Policy",
            "same-origin",
            "Cross-Origin-Opener-Policy",
            "same-origin",
            "Cache-Control",
            "no-store");
    private static final Map<String, String> FILES = Map.of(
            "css", "text/css; charset=utf-8",
            "js", "text/javascript; charset=utf-8",
            "woff2", "font/woff2",
            "svg", "image/svg+xml");

    private final TemplateEngine templates =
            TemplateEngine.createPrecompiled(null, ContentType.Html, Server.class.getClassLoader(), "slabside.web");
    private final Javalin javalin;
    private final CountDownLatch stopped = new CountDownLatch(1);

    private Server(Studio studio) {
        Desk desk = new Desk(studio);
        TimelinePage timeline = new TimelinePage(desk);
        ThingPage things = new ThingPage(desk);
        RebuildPage rebuilds = new RebuildPage(desk);
        ShelfPage shelf = new ShelfPage(desk);
        CalculatorPage calculators = new CalculatorPage(desk);
        SafekeepingPage safekeeping = new SafekeepingPage(desk);
        javalin = Javalin.create(config -> {
            config.startup.showJavalinBanner = false;
            config.startup.showOldJavalinVersionWarning = false;
            config.startup.startupWatcherEnabled = false;
            config.http.maxRequestSize = LARGEST_BODY;
            config.http.generateEtags = false;
            config.http.prefer405over404 = true;
            config.jetty.modifyServer(server -> server.setStopTimeout(5_000));
            config.jetty.modifyHttpConfiguration(http -> http.setSendServerVersion(false));
            config.routes.before(this::guard);
            config.routes.get("/", ctx -> ctx.redirect("/timeline"));
            config.routes.get("/timeline", ctx -> show(ctx, "timeline", timeline.list(ctx.queryParamMap())));
            config.routes.get("/event/{pos}", ctx -> show(ctx, "event", timeline.event(ctx.pathParam("pos"))));
            config.routes.get(
                    "/thing/{id}", ctx -> show(ctx, "thing", things.page(ctx.pathParam("id"), ctx.queryParamMap())));
            config.routes.get(
                    "/thing/{id}/rebuild",
                    ctx -> show(ctx, "rebuild", rebuilds.page(ctx.pathParam("id"), ctx.queryParamMap())));
            config.routes.post(
                    "/thing/{id}/rebuild",
                    ctx -> ctx.redirect(
                            rebuilds.startNew(ctx.pathParam("id"), ctx.formParamMap()),
                            io.javalin.http.HttpStatus.SEE_OTHER));
            config.routes.get("/thing/{id}/trace", ctx -> show(ctx, "answer", things.trace(ctx.pathParam("id"))));
            config.routes.get(
                    "/thing/{id}/weighings", ctx -> show(ctx, "answer", things.weighings(ctx.pathParam("id"))));
            config.routes.get("/shelf", ctx -> show(ctx, "shelf", shelf.page()));
            config.routes.get("/calculators", ctx -> show(ctx, "calculators", calculators.list()));
            config.routes.get(
                    "/calculators/{id}",
                    ctx -> show(ctx, "calculator", calculators.page(ctx.pathParam("id"), ctx.queryParamMap())));
            config.routes.get("/safekeeping", ctx -> show(ctx, "safekeeping", safekeeping.page(false)));
            config.routes.post("/safekeeping/verify", ctx -> show(ctx, "safekeeping", safekeeping.page(true)));
            config.routes.get("/static/<file>", ctx -> file(ctx, ctx.pathParam("file")));
            config.routes.exception(
                    BadInput.class, (bad, ctx) -> problem(ctx, 400, "That cannot be taken", bad.getMessage()));
            config.routes.exception(
                    LogTrouble.class, (bad, ctx) -> problem(ctx, 503, "The log says no", bad.getMessage()));
            config.routes.exception(
                    HttpResponseException.class, (bad, ctx) -> problem(ctx, bad.getStatus(), "No", bad.getMessage()));
            config.routes.exception(
                    Exception.class,
                    (bad, ctx) ->
                            problem(ctx, 500, "Something went wrong that was not foreseen", bad + Trouble.keep(bad)));
            config.routes.error(
                    404, "*", ctx -> problem(ctx, 404, "Nothing here", "There is no page " + ctx.path() + "."));
        });
    }

    /** Starts on a port of this machine only; 0 takes any that is free. */
    static Server start(Studio studio, int port) {
        Server server = new Server(studio);
        try {
            server.javalin.start("127.0.0.1", port);
        } catch (JavalinBindException taken) {
            throw new LogTrouble(
                    "The port " + port + " is taken. Choose another with --port, or 0 for any that is free.", taken);
        }
        return server;
    }

    String address() {
        return "http://127.0.0.1:" + javalin.port();
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
        javalin.stop();
        stopped.countDown();
    }

    /** Headers on every answer; refuses other names for this machine, and writes that come from other pages. */
    private void guard(Context ctx) {
        HEADERS.forEach(ctx::header);
        String host = ctx.header("Host");
        String name = "127.0.0.1:" + javalin.port();
        String other = "localhost:" + javalin.port();
        if (!name.equals(host) && !other.equals(host)) {
            throw new HttpResponseException(421, "This studio answers at " + name + " only.", Map.of());
        }
        if (ctx.method() != HandlerType.GET && ctx.method() != HandlerType.HEAD) {
            String origin = ctx.header("Origin");
            if (!("http://" + host).equals(origin)) {
                throw new HttpResponseException(403, "This was not sent from a page of this studio.", Map.of());
            }
            String type = ctx.contentType();
            if (type == null || !type.startsWith("application/x-www-form-urlencoded")) {
                throw new HttpResponseException(415, "Send a form.", Map.of());
            }
            if (ctx.bodyAsBytes().length > LARGEST_BODY) {
                throw new HttpResponseException(413, "A form holds at most 64 kB.", Map.of());
            }
        }
    }

    private void show(Context ctx, String template, Object page) {
        StringOutput out = new StringOutput();
        templates.render(template + ".jte", page, out);
        ctx.contentType("text/html; charset=utf-8").result(out.toString().getBytes(UTF_8));
    }

    private void problem(Context ctx, int status, String title, @org.jspecify.annotations.Nullable String text) {
        HEADERS.forEach(ctx::header);
        ctx.status(status);
        show(ctx, "problem", new Problem(new Frame(title, ""), text == null ? "" : text));
    }

    /** An error as a page shows it. */
    public record Problem(Frame frame, String text) {}

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
