package slabside.log;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.atomic.AtomicInteger;

/** A line to a database that can be made to break when something is added: before the server has heard of it, or before it is answered. */
final class LossyLine implements AutoCloseable {
    private enum Next {
        WHOLE,
        NOT_SENT,
        NOT_ANSWERED
    }

    private static final String ADDING = "INSERT INTO event";

    private final ServerSocket door = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    private final int server;
    private final AtomicInteger broken = new AtomicInteger();
    private volatile Next next = Next.WHOLE;

    LossyLine(int server) throws IOException {
        this.server = server;
        background(this::accept);
    }

    int port() {
        return door.getLocalPort();
    }

    int broken() {
        return broken.get();
    }

    /** Breaks the line the next time that something is added, once the server has heard it or before. */
    void breakNext(boolean heard) {
        next = heard ? Next.NOT_ANSWERED : Next.NOT_SENT;
    }

    private interface Work {
        void go() throws IOException;
    }

    private static void background(Work work) {
        Thread thread = new Thread(() -> {
            try {
                work.go();
            } catch (IOException closed) {
                // One of the two ends is gone, which is what this line is for.
                return;
            }
        });
        thread.setDaemon(true);
        thread.start();
    }

    private void accept() throws IOException {
        while (true) {
            Socket client = door.accept();
            Socket database = new Socket(InetAddress.getLoopbackAddress(), server);
            background(() -> carry(client, database, true));
            background(() -> carry(database, client, false));
        }
    }

    private void carry(Socket from, Socket to, boolean asks) throws IOException {
        byte[] some = new byte[65_536];
        // A statement that was prepared is named only, so the one that adds is known by its name from then on.
        try (from;
                to) {
            InputStream in = from.getInputStream();
            OutputStream out = to.getOutputStream();
            for (int n = in.read(some); n >= 0; n = in.read(some)) {
                boolean breaks = asks && next != Next.WHOLE && adds(some, n);
                if (breaks && next == Next.NOT_SENT) {
                    next = Next.WHOLE;
                    broken.incrementAndGet();
                    return;
                }
                out.write(some, 0, n);
                out.flush();
                if (breaks) {
                    next = Next.WHOLE;
                    broken.incrementAndGet();
                    // The server hears it and answers; nobody listens any more.
                    return;
                }
            }
        }
    }

    private static boolean adds(byte[] some, int n) {
        String text = new String(some, 0, n, StandardCharsets.ISO_8859_1);
        return text.contains(ADDING) || text.contains("mix number");
    }

    @Override
    public void close() throws IOException {
        door.close();
    }
}
