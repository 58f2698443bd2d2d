package slabside.web;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicInteger;

/** Keeps what a programmer needs of an unforeseen error in a file, so that a printer sees one sentence. */
final class Trouble {
    /** Whatever goes wrong again and again must not fill the disk. */
    private static final int MOST = 50;

    private static final AtomicInteger KEPT = new AtomicInteger();

    private Trouble() {}

    /** A sentence that says where the details are, to be put behind the message. */
    static String keep(Throwable failed) {
        if (KEPT.incrementAndGet() > MOST) {
            return ". Nothing recorded is lost; the files kept before tell more";
        }
        try {
            Path file = Files.createTempFile("slabside-trouble-", ".txt");
            try (PrintWriter out = new PrintWriter(Files.newBufferedWriter(file, StandardCharsets.UTF_8))) {
                failed.printStackTrace(out);
            }
            return ". Nothing recorded is lost; please send the file " + file;
        } catch (IOException full) {
            return ". Nothing recorded is lost; the details could not be kept (" + full.getMessage() + ")";
        }
    }
}
