package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.javalin.http.HandlerType;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.CertificateFactory;
import java.security.cert.X509Certificate;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLException;
import javax.net.ssl.TrustManagerFactory;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.studio.Studio;

/** Whom the pages answer, on this machine and over the network: every route of the table is asked wrongly in every way. */
class EveryRouteTest {
    private static final String FORM = "application/x-www-form-urlencoded";

    /** Moved on by hand, for codes that end. */
    private static final class Hands extends Clock {
        private volatile Duration ahead = Duration.ZERO;

        @Override
        public ZoneId getZone() {
            return ZoneId.systemDefault();
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }

        @Override
        public Instant instant() {
            return Instant.now().plus(ahead);
        }
    }

    @TempDir
    static Path folder;

    private static final Hands CLOCK = new Hands();
    private static Studio studio;
    private static Server server;
    private static X509Certificate authority;
    private static SSLContext trusting;
    private static HttpClient http;
    private static String keeper;
    private static String looker;

    @BeforeAll
    static void start() throws IOException, InterruptedException, GeneralSecurityException {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        Demo.write(data, config, LocalDate.now(ZoneId.systemDefault()), ZoneId.systemDefault());
        studio = Studio.open(data, config, CLOCK);
        server = Server.start(studio, 0, OptionalInt.of(0));
        authority = new StudioCertificates(config, CLOCK).served().authority();
        KeyStore store = KeyStore.getInstance("PKCS12");
        store.load(null, null);
        store.setCertificateEntry("studio", authority);
        TrustManagerFactory trust = TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
        trust.init(store);
        trusting = SSLContext.getInstance("TLS");
        trusting.init(null, trust.getTrustManagers(), null);
        http = HttpClient.newBuilder().sslContext(trusting).build();
        keeper = paired("keep", "tablet by the slab");
        looker = paired("look", "screen on the wall");
    }

    @AfterAll
    static void stop() {
        server.close();
        studio.close();
    }

    private static String network() {
        return server.networkAddresses().stream()
                .filter(address -> address.startsWith("https://127.0.0.1:"))
                .findFirst()
                .orElseThrow();
    }

    private static HttpResponse<String> get(String address, String path, String... headers)
            throws IOException, InterruptedException {
        return http.send(
                with(HttpRequest.newBuilder(URI.create(address + path)), headers)
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private static HttpResponse<String> post(String address, String path, String form, String... headers)
            throws IOException, InterruptedException {
        return http.send(
                with(HttpRequest.newBuilder(URI.create(address + path)), headers)
                        .POST(HttpRequest.BodyPublishers.ofString(form))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private static HttpRequest.Builder with(HttpRequest.Builder request, String... headers) {
        for (int i = 0; i < headers.length; i += 2) {
            request.header(headers[i], headers[i + 1]);
        }
        return request;
    }

    private static String invited(String may) throws IOException, InterruptedException {
        String here = server.address();
        assertEquals(
                303,
                post(here, "/devices/invite", "may=" + may, "Origin", here, "Content-Type", FORM)
                        .statusCode());
        String page = get(here, "/devices").body();
        return page.replaceAll("(?s).*<p><strong>([A-Z0-9]{6})</strong></p>.*", "$1");
    }

    private static HttpResponse<String> join(String code, String name) throws IOException, InterruptedException {
        return post(
                network(),
                "/join",
                "code=" + code + "&name=" + name.replace(' ', '+'),
                "Origin",
                network(),
                "Content-Type",
                FORM);
    }

    private static String paired(String may, String name) throws IOException, InterruptedException {
        HttpResponse<String> joined = join(invited(may), name);
        assertEquals(303, joined.statusCode(), joined.body());
        String cookie = joined.headers().firstValue("Set-Cookie").orElseThrow();
        for (String flag : List.of("Secure", "HttpOnly", "SameSite=Strict", "Path=/")) {
            assertTrue(cookie.contains(flag), cookie);
        }
        assertTrue(cookie.startsWith("__Host-slabside="), cookie);
        assertFalse(cookie.contains("Domain"), cookie);
        return cookie.substring(0, cookie.indexOf(';'));
    }

    /** Sends bytes as they are, since a polite client would not lie about its host. */
    private static String raw(boolean byNetwork, String request) throws IOException {
        int port = URI.create(byNetwork ? network() : server.address()).getPort();
        try (Socket socket = byNetwork
                ? trusting.getSocketFactory().createSocket("127.0.0.1", port)
                : new Socket("127.0.0.1", port)) {
            socket.setSoTimeout(5_000);
            socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
            return new String(socket.getInputStream().readNBytes(2_000), StandardCharsets.ISO_8859_1);
        }
    }

    private static String filled(String path) {
        String mix = studio.views().named("mix", "Heron grey HG-2").id().text();
        String run = studio.views().things("run", "", 100).stream()
                .filter(t -> studio.name(t.id()).equals("Weir, Slack Water, run 1, the water"))
                .findFirst()
                .orElseThrow()
                .id()
                .text();
        String edition =
                studio.views().named("edition", "Tidewrack, Four Fathoms").id().text();
        return path.replace("{mix}", mix)
                .replace("/edition/{id}", "/edition/" + edition)
                .replace("{id}", mix)
                .replace("{run}", run)
                .replace("{pos}", "5")
                .replace("{deed}", "undo")
                .replace("{format}", "json")
                .replace("{type}", "shelf.can-opened")
                .replace("{sha}", "0".repeat(64))
                .replace("<file>", "slabside.css");
    }

    @TestFactory
    List<DynamicTest> every_route_refuses_what_does_not_come_from_its_own_pages_and_writes_nothing() {
        List<DynamicTest> tests = new ArrayList<>();
        for (Server.Route route : server.table()) {
            for (boolean byNetwork : new boolean[] {false, true}) {
                tests.add(DynamicTest.dynamicTest(
                        route.method() + " " + route.path() + (byNetwork ? " by the network" : " here"), () -> {
                            long before = studio.log().last();
                            int devices = studio.config()
                                            .resolve("devices.json")
                                            .toFile()
                                            .exists()
                                    ? new Devices(studio.config(), CLOCK).all().size()
                                    : 0;
                            asked(route, byNetwork);
                            assertEquals(before, studio.log().last(), "nothing was written");
                            assertEquals(
                                    devices,
                                    new Devices(studio.config(), CLOCK).all().size(),
                                    "nobody came in or was shut out");
                        }));
            }
        }
        assertTrue(tests.size() > 60, "the table is read");
        assertTrue(
                server.table().stream().anyMatch(route -> route.path().endsWith("/live")),
                "and holds the live one too");
        return tests;
    }

    private static void asked(Server.Route route, boolean byNetwork) throws IOException, InterruptedException {
        String path = filled(route.path());
        String address = byNetwork ? network() : server.address();
        String lied = raw(
                byNetwork,
                route.method() + " " + path + " HTTP/1.1\r\nHost: evil.example:"
                        + URI.create(address).getPort() + "\r\nConnection: close\r\nContent-Length: 0\r\n\r\n");
        assertTrue(lied.startsWith("HTTP/1.1 421"), lied);
        assertTrue(lied.contains("default-src 'none'"), "headers stand on refusals too: " + lied);
        String other = byNetwork ? server.address() : network();
        String swapped = raw(
                byNetwork,
                route.method() + " " + path + " HTTP/1.1\r\nHost: "
                        + URI.create(other).getAuthority() + "\r\nConnection: close\r\nContent-Length: 0\r\n\r\n");
        assertTrue(swapped.startsWith("HTTP/1.1 421"), "the host of the other way in: " + swapped);
        String cookie = byNetwork ? keeper : "none=none";
        if (route.method() == HandlerType.POST) {
            assertEquals(
                    403,
                    post(address, path, "", "Content-Type", FORM, "Cookie", cookie)
                            .statusCode(),
                    "no origin");
            for (String origin : List.of("http://evil.example", "null", other)) {
                assertEquals(
                        403,
                        post(address, path, "", "Origin", origin, "Content-Type", FORM, "Cookie", cookie)
                                .statusCode(),
                        "origin " + origin);
            }
            assertEquals(
                    403,
                    post(
                                    address,
                                    path,
                                    "",
                                    "Origin",
                                    address,
                                    "Sec-Fetch-Site",
                                    "cross-site",
                                    "Content-Type",
                                    FORM,
                                    "Cookie",
                                    cookie)
                            .statusCode(),
                    "another site");
            assertEquals(
                    415,
                    post(address, path, "{}", "Origin", address, "Content-Type", "application/json", "Cookie", cookie)
                            .statusCode());
            int size = List.of("/attach", Guard.FIND).contains(route.path()) ? 17_000_000 : 200_000;
            String flood = raw(
                    byNetwork,
                    "POST " + path + " HTTP/1.1\r\nHost: "
                            + URI.create(address).getAuthority()
                            + "\r\nOrigin: " + address + "\r\nCookie: " + cookie + "\r\nContent-Type: " + form(route)
                            + "\r\nConnection: close\r\nContent-Length: "
                            + size + "\r\n\r\n" + "9".repeat(size));
            assertTrue(flood.startsWith("HTTP/1.1 413"), flood);
        } else {
            if (!route.path().endsWith("/live")) {
                HttpResponse<String> answer = get(address, path, "Cookie", cookie);
                assertTrue(
                        answer.headers()
                                .firstValue("Content-Security-Policy")
                                .orElse("")
                                .startsWith("default-src 'none'"),
                        "headers stand on every answer, " + answer.statusCode());
                assertEquals(
                        "nosniff",
                        answer.headers().firstValue("X-Content-Type-Options").orElse(""));
            }
            int status = post(address, path, "", "Origin", address, "Content-Type", FORM, "Cookie", cookie)
                    .statusCode();
            boolean alsoWrites = server.table().stream()
                    .anyMatch(each -> each.method() == HandlerType.POST
                            && filled(each.path()).equals(path));
            assertTrue(alsoWrites || status == 400 || status == 405 || status == 404, "wrong method: " + status);
        }
        if (byNetwork) {
            strangers(route, path);
        }
    }

    /** Without a token, with a made-up one, and with that of a device that may only look. */
    private static void strangers(Server.Route route, String path) throws IOException, InterruptedException {
        for (String cookie : List.of("", "__Host-slabside=made-up", "__Host-slabside=")) {
            int status = ask(route, path, cookie);
            if (route.access() == Guard.Access.ANYBODY) {
                assertTrue(status < 401, route.path() + ": " + status);
            } else {
                assertEquals(401, status, route.path() + " with the cookie \"" + cookie + "\"");
            }
        }
        if (route.access() == Guard.Access.KEEP || route.access() == Guard.Access.HOST) {
            assertEquals(403, ask(route, path, looker), route.path());
        }
        if (route.access() == Guard.Access.HOST) {
            assertEquals(403, ask(route, path, keeper), route.path());
        }
    }

    /** What is sent to a route: a form, or a photo. */
    private static String form(Server.Route route) {
        return List.of("/attach", Guard.FIND).contains(route.path()) ? "multipart/form-data; boundary=none" : FORM;
    }

    private static int ask(Server.Route route, String path, String cookie) throws IOException, InterruptedException {
        return route.method() == HandlerType.POST
                ? post(network(), path, "", "Origin", network(), "Content-Type", form(route), "Cookie", cookie)
                        .statusCode()
                : get(network(), path, "Cookie", cookie).statusCode();
    }

    @Test
    void nothing_of_the_network_is_open_when_nobody_asked_for_it() throws IOException, InterruptedException {
        try (Studio other = Studio.open(folder.resolve("other"), folder.resolve("other-config"), Clock.systemUTC());
                Server alone = Server.start(other, 0)) {
            assertEquals(List.of(), alone.networkAddresses());
            assertFalse(Files.exists(folder.resolve("other-config").resolve("network")), "no authority is made");
            assertTrue(get(alone.address(), "/devices").body().contains("serve --network"));
            assertEquals(
                    400,
                    post(
                                    alone.address(),
                                    "/devices/invite",
                                    "may=keep",
                                    "Origin",
                                    alone.address(),
                                    "Content-Type",
                                    FORM)
                            .statusCode());
        }
    }

    @Test
    void a_code_lets_in_one_device_and_ends_after_five_wrong_tries_or_five_minutes()
            throws IOException, InterruptedException {
        String code = invited("keep");
        assertEquals(303, join(code.toLowerCase(java.util.Locale.ROOT), "first").statusCode(), "small letters will do");
        assertEquals(400, join(code, "second").statusCode(), "used once");
        code = invited("keep");
        for (int i = 0; i < 5; i++) {
            assertEquals(400, join("AAAAAA", "guesser").statusCode());
        }
        assertEquals(400, join(code, "late").statusCode(), "five wrong tries end it");
        code = invited("keep");
        CLOCK.ahead = CLOCK.ahead.plus(Duration.ofMinutes(6));
        assertEquals(400, join(code, "later").statusCode(), "five minutes end it");
    }

    @Test
    void a_device_that_was_shut_out_is_refused_from_its_next_question_on() throws IOException, InterruptedException {
        String cookie = paired("keep", "lent phone");
        assertEquals(200, get(network(), "/today", "Cookie", cookie).statusCode());
        String press = studio.views().things("run", "", 1).get(0).id().text();
        HttpResponse<java.io.InputStream> watched = http.send(
                HttpRequest.newBuilder(URI.create(network() + "/press/" + press + "/live"))
                        .header("Cookie", cookie)
                        .header("Accept", "text/event-stream")
                        .build(),
                HttpResponse.BodyHandlers.ofInputStream());
        assertEquals(200, watched.statusCode());
        String id = new Devices(studio.config(), CLOCK)
                .all().stream()
                        .filter(device -> device.name().equals("lent phone"))
                        .findFirst()
                        .orElseThrow()
                        .id();
        String kept = Files.readString(studio.config().resolve("devices.json"));
        assertFalse(kept.contains(cookie.substring(cookie.indexOf('=') + 1)), "only the hash of a token is kept");
        String here = server.address();
        assertEquals(
                303,
                post(here, "/devices/" + id + "/shut-out", "", "Origin", here, "Content-Type", FORM)
                        .statusCode());
        assertEquals(401, get(network(), "/today", "Cookie", cookie).statusCode());
        assertTimeoutPreemptively(
                Duration.ofSeconds(10), () -> watched.body().readAllBytes(), "what it watched has ended");
    }

    @Test
    void what_a_device_writes_bears_its_name_and_whoever_is_at_it() throws IOException, InterruptedException {
        String person = studio.people().all().keySet().iterator().next();
        assertEquals(
                303,
                post(network(), "/at", "person=" + person, "Origin", network(), "Content-Type", FORM, "Cookie", keeper)
                        .statusCode());
        String tap = EventId.tapAt(CLOCK.millis(), EventId.chance()).text();
        assertEquals(
                303,
                post(
                                network(),
                                "/bench/start",
                                "name=by+the+network&tap=" + tap,
                                "Origin",
                                network(),
                                "Content-Type",
                                FORM,
                                "Cookie",
                                keeper)
                        .statusCode());
        var written =
                studio.log().find(new EventId(tap)).orElseThrow().envelope().actor();
        assertEquals(person, written.person().text());
        assertTrue(studio.views().ofType("log.device-named", 50).stream()
                .map(told -> (LogEvent.DeviceNamed) told.event())
                .anyMatch(named ->
                        named.device().equals(written.device()) && named.name().equals("tablet by the slab")));
    }

    @Test
    void a_device_that_may_look_is_shown_no_form_that_writes() throws IOException, InterruptedException {
        for (Server.Route route : server.table()) {
            if (route.method() == HandlerType.GET
                    && route.access() == Guard.Access.LOOK
                    && !route.path().endsWith("/live")) {
                String path = filled(route.path());
                HttpResponse<String> page = get(network(), path, "Cookie", looker);
                String body = page.body();
                assertFalse(
                        body.matches("(?s).*<form[^>]*action=\"(?!/at|/find/photo)[^\"]*\"[^>]*method=\"post\".*"),
                        path + " shows a form: " + body);
            }
        }
    }

    @Test
    void the_certificate_can_be_taken_and_vouches_for_the_local_network_only()
            throws IOException, InterruptedException, GeneralSecurityException {
        HttpResponse<byte[]> taken = http.send(
                HttpRequest.newBuilder(URI.create(network() + "/join/studio.crt"))
                        .build(),
                HttpResponse.BodyHandlers.ofByteArray());
        assertEquals(
                authority,
                CertificateFactory.getInstance("X.509").generateCertificate(new ByteArrayInputStream(taken.body())));
        assertTrue(authority.getCriticalExtensionOIDs().contains("2.5.29.30"), "name constraints (RFC 5280, 4.2.1.10)");
        assertEquals(0, authority.getBasicConstraints(), "an authority that makes no further authorities");
        HttpClient doubting = HttpClient.newHttpClient();
        assertThrows(
                SSLException.class,
                () -> doubting.send(
                        HttpRequest.newBuilder(URI.create(network() + "/join")).build(),
                        HttpResponse.BodyHandlers.ofString()));
        try (var files = Files.list(studio.config().resolve("network"))) {
            for (Path file : files.toList()) {
                assertEquals(
                        "rw-------",
                        java.nio.file.attribute.PosixFilePermissions.toString(Files.getPosixFilePermissions(file)),
                        file.toString());
            }
        }
        X509Certificate before = (X509Certificate)
                new StudioCertificates(studio.config(), CLOCK).served().store().getCertificate("studio");
        assertEquals(
                before,
                new StudioCertificates(studio.config(), CLOCK).served().store().getCertificate("studio"),
                "kept from one start to the next");
        Clock aYearOn = Clock.offset(CLOCK, Duration.ofDays(380));
        assertFalse(
                before.equals(new StudioCertificates(studio.config(), aYearOn)
                        .served()
                        .store()
                        .getCertificate("studio")),
                "made anew before it ends");
        assertEquals(
                authority,
                new StudioCertificates(studio.config(), aYearOn).served().authority(),
                "by the same authority");
    }
}
