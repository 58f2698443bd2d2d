package slabside.plugin;

import java.util.List;

/**
 * Answers one question from typed replies and from the log. Gets its page, form, command, JSON and CSV from the host.
 *
 * <p>Must give the same answer to the same replies and the same log: no clock, no chance. Not thread-safe by duty; the
 * host asks one thing at a time. Found through one line in {@code META-INF/services/slabside.plugin.Calculator}.
 */
public interface Calculator {
    Card card();

    /** In the order in which to ask them. */
    List<Question<?>> questions();

    /**
     * @param replies one for every question without a default, already of the right type and range
     * @throws slabside.measure.BadInput when replies do not fit together; names the question, the value and the remedy
     */
    Answer answer(Replies replies, StudioView studio);
}
