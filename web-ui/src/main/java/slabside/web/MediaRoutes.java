package slabside.web;

import io.javalin.http.Context;
import io.javalin.http.HttpResponseException;
import io.javalin.http.UploadedFile;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.measure.BadInput;
import slabside.studio.MediaFile;
import slabside.studio.Studio;

/** Takes photos and voice memos, and shows them again. */
final class MediaRoutes {
    private final Studio studio;

    MediaRoutes(Studio studio) {
        this.studio = studio;
    }

    /** Keeps a photo or voice memo beside what it shows or tells of. */
    Taps.Meant attach(Context ctx, Tap tap) {
        UploadedFile upload = ctx.uploadedFile("file");
        if (upload == null || upload.size() == 0) {
            throw new BadInput("file", "", "choose a photo, or record a memo");
        }
        try (InputStream in = upload.content()) {
            Form form = tap.form();
            MediaFile file = MediaFile.of(in.readAllBytes());
            return Taps.Meant.of(
                    file.isSound() ? "The memo is kept" : "The photo is kept",
                    tap.back(),
                    studio.attachments()
                            .keep(
                                    file,
                                    new LogEvent.Attached(
                                            form.has("event") ? new EventId(form.text("event")) : null,
                                            form.thing("thing").orElse(null),
                                            "",
                                            0,
                                            file.mediaType(),
                                            form.words("name"))));
        } catch (IOException cut) {
            throw new BadInput("file", upload.size() + " bytes", "it did not come through whole; send it again");
        }
    }

    /** A file by its SHA-256; whatever it holds, it can do nothing here. */
    void attached(Context ctx) throws IOException {
        Path file = studio.attachments()
                .file(ctx.pathParam("sha"))
                .orElseThrow(
                        () -> new HttpResponseException(404, "This photo or memo is not here any more.", Map.of()));
        String type = MediaFile.of(Files.readAllBytes(file)).mediaType();
        ctx.header("Content-Security-Policy", "default-src 'none'; sandbox");
        ctx.writeSeekableStream(Files.newInputStream(file), type, Files.size(file));
    }
}
