package slabside.web;

import io.javalin.http.Context;
import io.javalin.http.HandlerType;
import io.javalin.http.HttpResponseException;
import java.io.IOException;
import java.io.InputStream;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.IntSupplier;
import java.util.function.Supplier;

/**
 * Stands before every route: puts the headers on, refuses other names for this machine and whatever was not sent from its own
 * pages, and tells who asks and what they may have.
 */
final class Guard {
    static final long LARGEST_FORM = 64 * 1024;
    static final long LARGEST_MEDIA = 16L * 1024 * 1024;
    // What is refused is read to its end as far as this, so that the reason arrives.
    private static final long LET_GO = 4 * LARGEST_MEDIA;
    /** The one place that takes more than a form. */
    static final String ATTACH = "/attach";
    /** Takes a photo of a label. */
    static final String FIND = "/find/photo";
    // With "no-referrer" a browser sends "Origin: null" with its own forms, which the guard refuses.
    static final Map<String, String> HEADERS = Map.of(
            "Content-Security-Policy",
            "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; img-src 'self' blob: data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; media-src 'self' blob:;"
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

    /** Who may ask for something. */
    enum Access {
        /** Every device that reaches this machine, paired or not. */
        ANYBODY,
        /** Every paired device. */
        LOOK,
        /** Paired devices that may write. */
        KEEP,
        /** The studio's own machine alone. */
        HOST
    }

    private final Desk desk;
    private final IntSupplier port;
    private final Supplier<List<String>> network;

    /**
     * @param port of the pages on this machine
     * @param network addresses of the pages for other devices; empty when there are none
     */
    Guard(Desk desk, IntSupplier port, Supplier<List<String>> network) {
        this.desk = desk;
        this.port = port;
        this.network = network;
    }

    /** Headers on every answer; refuses other names for this machine, and writes that come from other pages. */
    void before(Context ctx) {
        desk.askedBy(Optional.empty());
        HEADERS.forEach(ctx::header);
        boolean byNetwork = ctx.req().isSecure();
        String host = ctx.header("Host");
        List<String> names = byNetwork
                ? network.get().stream()
                        .map(address -> address.substring("https://".length()))
                        .toList()
                : List.of("127.0.0.1:" + port.getAsInt(), "localhost:" + port.getAsInt());
        if (host == null || !names.contains(host)) {
            throw refused(ctx, 421, "This studio answers at " + names.get(0) + " only.");
        }
        desk.askedBy(
                byNetwork ? desk.devices.holding(ctx.cookie(NetworkDoor.COOKIE)) : Optional.of(desk.devices.host()));
        if (ctx.method() != HandlerType.GET && ctx.method() != HandlerType.HEAD) {
            String origin = ctx.header("Origin");
            if (!((byNetwork ? "https://" : "http://") + host).equals(origin)) {
                throw refused(ctx, 403, "This was not sent from a page of this studio.");
            }
            String site = ctx.header("Sec-Fetch-Site");
            if (site != null && !site.equals("same-origin")) {
                throw refused(ctx, 403, "This was not sent from a page of this studio.");
            }
            String type = ctx.contentType();
            // A calculator may ask for a file, and a label be found by a photo.
            boolean media = ctx.path().equals(ATTACH)
                    || ctx.path().equals(FIND)
                    || ctx.path().startsWith("/calculators/") && type != null && type.startsWith("multipart/form-data");
            if (type == null || !type.startsWith(media ? "multipart/form-data" : "application/x-www-form-urlencoded")) {
                throw refused(ctx, 415, "Send a form.");
            }
            if (media) {
                if (ctx.contentLength() > LARGEST_MEDIA || ctx.contentLength() < 0) {
                    throw refused(ctx, 413, "A photo, memo or file holds at most 16 MB.");
                }
                return;
            }
            if (ctx.contentLength() > LARGEST_FORM || ctx.bodyAsBytes().length > LARGEST_FORM) {
                throw refused(ctx, 413, "A form holds at most 64 kB.");
            }
        }
    }

    /** Whether the one who asks may have what they ask for. */
    void allow(Context ctx, Access access) {
        Frame frame = desk.frame("", "");
        if (access == Access.ANYBODY) {
            return;
        }
        if (frame.stranger()) {
            throw refused(ctx, 401, "This device is not paired with the studio. Pair it at /join.");
        }
        if (access == Access.HOST && !frame.host()) {
            throw refused(ctx, 403, "This can be done on the studio's own machine only.");
        }
        if (access == Access.KEEP && frame.looks()) {
            throw refused(ctx, 403, "This device may look, not write.");
        }
    }

    /**
     * What is said to a request that is not taken. What was sent with it is read and let go, for a connection that is
     * closed on somebody who still writes loses them the reason; and it is closed, openly, so that nobody asks again on
     * one that has gone.
     */
    private static HttpResponseException refused(Context ctx, int status, String reason) {
        if (ctx.method() != HandlerType.GET && ctx.method() != HandlerType.HEAD) {
            ctx.header("Connection", "close");
            try {
                InputStream rest = ctx.req().getInputStream();
                byte[] some = new byte[8192];
                long read = 0;
                for (int n = 0; n >= 0 && read <= LET_GO; n = rest.read(some)) {
                    read += n;
                }
            } catch (IOException gone) {
                // Whoever sent it hung up. It is refused all the same, and that is what is answered.
                return new HttpResponseException(status, reason + " It was cut off: " + gone.getMessage(), Map.of());
            }
        }
        return new HttpResponseException(status, reason, Map.of());
    }
}
