package slabside.web;

import io.javalin.http.Context;
import io.javalin.http.Cookie;
import io.javalin.http.HttpStatus;
import io.javalin.http.SameSite;
import java.security.cert.CertificateEncodingException;
import java.util.List;
import org.eclipse.jetty.server.HttpConfiguration;
import org.eclipse.jetty.server.HttpConnectionFactory;
import org.eclipse.jetty.server.SecureRequestCustomizer;
import org.eclipse.jetty.server.Server;
import org.eclipse.jetty.server.ServerConnector;
import org.eclipse.jetty.server.SslConnectionFactory;
import org.eclipse.jetty.util.ssl.SslContextFactory;
import slabside.event.LogEvent;
import slabside.measure.BadInput;

/**
 * The way in for other devices of the local network: TLS only, by pairing only.
 *
 * @param port on every address of this machine; 0 for any that is free
 */
record NetworkDoor(int port, StudioCertificates.Served served) {
    /** A browser accepts a cookie of this name only when it is secure, for this host alone and for all of it. */
    static final String COOKIE = "__Host-slabside";

    private static final int COOKIE_HOLDS_S = 400 * 24 * 3600;

    ServerConnector connector(Server server, HttpConfiguration http) {
        SslContextFactory.Server tls = new SslContextFactory.Server();
        tls.setKeyStore(served.store());
        tls.setKeyStorePassword(served.password());
        HttpConfiguration secure = new HttpConfiguration(http);
        // Devices call this machine by its address, which TLS has no server name for; the guard checks the Host
        // instead.
        secure.addCustomizer(new SecureRequestCustomizer(false));
        ServerConnector connector = new ServerConnector(
                server, new SslConnectionFactory(tls, "http/1.1"), new HttpConnectionFactory(secure));
        connector.setPort(port);
        return connector;
    }

    /** Lets a device in that knows the code, and gives it its token. */
    void join(Context ctx, Desk desk) {
        Form form = new Form(ctx.formParamMap());
        if (desk.frame("", "").host()) {
            throw new BadInput("device", "this machine", "it is the studio's own and needs no pairing");
        }
        Devices.Joined joined =
                desk.devices.join(form.need("code", "type the code that the studio shows"), form.text("name"));
        desk.studio.write(
                desk.devices.host().actor(),
                List.of(new LogEvent.DeviceNamed(
                        joined.device().id(), joined.device().name())));
        Cookie cookie = new Cookie(COOKIE, joined.token());
        cookie.setPath("/");
        cookie.setMaxAge(COOKIE_HOLDS_S);
        cookie.setSecure(true);
        cookie.setHttpOnly(true);
        cookie.setSameSite(SameSite.STRICT);
        ctx.cookie(cookie);
        ctx.redirect("/at", HttpStatus.SEE_OTHER);
    }

    /** The authority's certificate, for a device to install. */
    void certificate(Context ctx) throws CertificateEncodingException {
        ctx.header("Content-Disposition", "attachment; filename=slabside-studio.crt")
                .contentType("application/x-x509-ca-cert")
                .result(served.authority().getEncoded());
    }
}
