package slabside.edition;

import java.util.List;
import java.util.Optional;
import slabside.event.Surface;
import slabside.event.ThingId;

/**
 * What this studio lost so far: sheets at the press run by run, sheets at curating edition by edition; newest first.
 */
public record PastLosses(List<AtPress> runs, List<AtCurating> curatings) {
    /**
     * One run that was cleaned up.
     *
     * @param in sheets that went through for the edition
     * @param spoiled of these, by their last grade
     */
    public record AtPress(ThingId run, Optional<Surface> surface, int in, int spoiled) {}

    /**
     * One edition's curating.
     *
     * @param seen sheets looked at
     * @param good of these
     */
    public record AtCurating(ThingId edition, int seen, int good) {}
}
