package slabside.plugin;

import java.util.List;

/**
 * Answers one question from typed replies and from the log. Gets its page, form, link, command, JSON, CSV and PDF from the
 * host.
 *
 * <p>Must give the same answer to the same replies and the same log: no clock, no chance, no files. Needs a public constructor
 * without parameters. Keep nothing from one question to the next: several may be asked at once. Found through one line in
 * {@code META-INF/services/slabside.plugin.Calculator}.
 */
public interface Calculator {
    /** How it introduces itself; always the same. */
    Card card();

    /** What it asks, in the order in which to ask; always the same. */
    List<Question<?>> questions();

    /**
     * What there is to say to the replies, from the log as it stands.
     *
     * @param replies one for every question without a default, already of the right type and range
     * @throws slabside.measure.BadInput when replies do not fit together; names the question, the value and the remedy
     */
    Answer answer(Replies replies, StudioView studio);

    /**
     * As {@link #answer(Replies, StudioView)}, which it calls unless overridden. Override it for work that may take longer than a
     * second, and say how far it has come.
     */
    default Answer answer(Replies replies, StudioView studio, Progress progress) {
        return answer(replies, studio);
    }
}
