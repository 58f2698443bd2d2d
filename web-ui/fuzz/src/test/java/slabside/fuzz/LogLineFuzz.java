package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.log.Segment;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.Sentence;

/** A line of the log, or a piece of one, made of anything: read, told and looked through, or refused by name. */
class LogLineFuzz {
    private static final String LINE =
            "{\"origin\":\"0123456789abcdef\",\"oseq\":7,\"id\":\"018f0000-0000-7000-8000-000000000001\","
                    + "\"happened\":{\"precision\":\"exact\",\"from\":1,\"to\":1,\"zone\":\"Europe/Paris\"},\"recorded\":1,\"hlc\":[1,2],"
                    + "\"actor\":{\"person\":\"person-a\",\"device\":\"t\"},\"type\":\"TYPE\",\"version\":1,\"about\":[\"thing-1\"],\"body\":BODY}";

    @FuzzTest(maxDuration = "60s")
    void read(byte[] bytes) throws IOException {
        String text = new String(bytes, StandardCharsets.UTF_8);
        tell(text);
        int cut = text.indexOf('\n');
        if (cut > 0) {
            tell(LINE.replace("TYPE", text.substring(0, cut).replace("\"", ""))
                    .replace("BODY", text.substring(cut + 1)));
        }
        try {
            Segment.read(bytes);
            Segment.lines(bytes);
        } catch (BadInput refused) {
            refused.remedy();
        }
    }

    private static void tell(String line) {
        try {
            Envelope envelope = EventCodec.envelope(line);
            var event = envelope.event();
            Sentence.of(event, id -> id.text());
            EventCodec.about(event);
            Role.parts(event);
            EventCodec.envelope(EventCodec.line(envelope));
        } catch (BadInput refused) {
            refused.remedy();
        }
    }
}
