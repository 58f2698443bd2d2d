package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.util.List;
import slabside.helper.Wire;
import slabside.host.Drawn;
import slabside.host.FromPlugin;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;

/** What the process of a plugin may send: read as the host reads it, drawn as the host draws it, or refused. */
class PipeFuzz {
    @FuzzTest(maxDuration = "60s")
    void receive(byte[] bytes) {
        read(bytes);
        byte[] framed = ByteBuffer.allocate(bytes.length + 4)
                .putInt(bytes.length)
                .put(bytes)
                .array();
        read(framed);
    }

    private static void read(byte[] bytes) {
        try {
            JsonNode said = new Wire(new ByteArrayInputStream(bytes), OutputStream.nullOutputStream()).receive();
            as(said, Card.class);
            as(said, Question.Declared.class);
            as(said, Answer.class);
        } catch (IOException | IllegalArgumentException refused) {
            refused.getMessage();
        }
    }

    private static void as(JsonNode said, Class<?> type) {
        try {
            Object read = FromPlugin.read(said, type);
            if (read instanceof Answer answer) {
                for (String form : List.of("text", "json", "csv")) {
                    Drawn.as(form, answer);
                }
            } else if (read instanceof Question.Declared declared) {
                Question.of(declared);
            }
        } catch (IOException | IllegalArgumentException refused) {
            refused.getMessage();
        }
    }
}
