package slabside.quantity;

import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** What every calculator of this plugin asks of a mix. */
final class Mixes {
    private Mixes() {}

    /** What is in a vessel; refuses one with nothing in it. */
    static StudioView.Composition of(StudioView studio, String vessel) {
        StudioView.Composition mix = studio.composition(vessel);
        if (mix.shares().isEmpty()) {
            throw new BadInput(
                    "mix", mix.name(), "nothing is left in it; pick the packet it was wrapped as, or rebuild it");
        }
        return mix;
    }

    /** Says what was not written down, where shares are of the rest only. */
    static Answer gaps(Answer answer, StudioView.Composition mix) {
        Answer with = answer;
        for (String gap : mix.gaps()) {
            with = with.caution("Shares are of what was written down: " + gap + ".");
        }
        return with;
    }
}
