package slabside.event;

import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** What is said about the log itself; the only way to put a record right. */
public sealed interface LogEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /**
     * An earlier event reads differently.
     *
     * @param replaces the versions this was made from: the event itself or earlier amendments
     * @param body the whole new body, where it changed
     * @param after the event it directly follows, where that changed; the amended event itself when it stands at its own time
     */
    record Amended(
            EventId event,
            List<EventId> replaces,
            @Nullable RawBody body,
            @Nullable Happened happened,
            @Nullable EventId after,
            @Nullable String reason)
            implements LogEvent {
        public Amended {
            replaces = List.copyOf(replaces);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.amended(this);
        }
    }

    /** An earlier event did not happen. A void beats an amendment and can itself be voided. */
    record Voided(EventId event, @Nullable String reason) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.voided(this);
        }
    }

    /** A remark. */
    record Annotated(@Nullable EventId event, @Nullable ThingId thing, String words) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.annotated(this);
        }
    }

    /**
     * What a calculator or report answered, kept as it was then.
     *
     * @param calculator its id
     * @param replies that were given, by the ids of its questions
     * @param thing that it is kept with
     * @param summary in a line
     * @param text the whole answer
     */
    record AnswerKept(
            String calculator,
            String title,
            Map<String, String> replies,
            @Nullable ThingId thing,
            String summary,
            String text)
            implements LogEvent {
        public AnswerKept {
            // In one order, so that the same answer is stored in the same bytes.
            replies = Collections.unmodifiableMap(new TreeMap<>(replies));
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.answerKept(this);
        }
    }

    /** A photo or voice memo, known by its content. */
    record Attached(
            @Nullable EventId event,
            @Nullable ThingId thing,
            String sha256,
            long size,
            String mediaType,
            @Nullable String name)
            implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.attached(this);
        }
    }

    /**
     * The name of a person, or a photo or memo, was taken out for good, on every device that gets to know of it. What the chain
     * holds of it, an id or a hash, stays as a gap.
     *
     * @param until since when the name that is taken out had been known, in ms, by the clock of whoever gave it
     */
    record Forgotten(
            @Nullable ThingId person,
            @Nullable String sha256,
            @Nullable Long until,
            @Nullable String reason) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.forgotten(this);
        }
    }

    /** Two records of one can, material or person. */
    record SameThing(ThingId keep, ThingId other) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.sameThing(this);
        }
    }

    /** What to call a device. */
    record DeviceNamed(String device, String name) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.deviceNamed(this);
        }
    }

    /**
     * The first event of a chain.
     *
     * @param previousHash head that this one carries on from
     */
    record EpochBegun(
            @Nullable String previousOrigin,
            @Nullable Long previousOseq,
            @Nullable String previousHash,
            String why) implements LogEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.epochBegun(this);
        }
    }

    /** A warning was shown. */
    record Warned(String rule, List<ThingId> things, Map<String, String> values, boolean confirmed)
            implements LogEvent {
        public Warned {
            things = List.copyOf(things);
            values = Map.copyOf(values);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.warned(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R amended(Amended event);

        R voided(Voided event);

        R annotated(Annotated event);

        R answerKept(AnswerKept event);

        R attached(Attached event);

        R forgotten(Forgotten event);

        R sameThing(SameThing event);

        R deviceNamed(DeviceNamed event);

        R epochBegun(EpochBegun event);

        R warned(Warned event);
    }
}
