package slabside.event;

import org.jspecify.annotations.Nullable;

/**
 * The old ink that a new mix makes again.
 *
 * @param after the last event of the old mix that counts; absent for the mix as it ended
 */
public record Rebuilt(ThingId mix, @Nullable EventId after) {}
