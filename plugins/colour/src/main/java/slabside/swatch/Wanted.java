package slabside.swatch;

import java.util.List;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Srgb;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Spectrum;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * A colour that somebody wants, by a reading, as a screen shows it, or as an ink has it.
 *
 * @param spectrum where one is known, so that its look under another lamp is known too
 * @param fromScreen it is no reading, and as far off as screens are
 */
record Wanted(CieLab colour, Optional<Bands> spectrum, boolean fromScreen) {
    static final Question<Lab> TARGET =
            Question.lab("target", "The colour, under D50").optional();
    static final Question<Spectrum> SPECTRUM =
            Question.spectrum("spectrum", "or its spectrum").optional();
    static final Question<String> SCREEN =
            Question.screenColour("screen", "or as a screen shows it").optional();
    static final Question<String> LIKE =
            Question.pick("like", "or as this ink looks", "vessel").optional();
    /** In the order in which they are believed. */
    static final List<Question<?>> QUESTIONS = List.of(SPECTRUM, TARGET, LIKE, SCREEN);

    static Wanted of(Replies replies, StudioView studio, double weight, Bands paper) {
        Optional<Wanted> spectrum = replies.maybe(SPECTRUM)
                .map(Bands::of)
                .map(read -> new Wanted(Sheets.seen(read), Optional.of(read), false));
        Optional<Wanted> lab = replies.maybe(TARGET).map(read -> new Wanted(CieLab.of(read), Optional.empty(), false));
        Optional<Wanted> like = replies.maybe(LIKE).map(vessel -> {
            Mixed mix = Mixed.of(vessel, LIKE.label(), studio);
            Bands seen = mix.film().times(weight).over(paper);
            return new Wanted(
                    Sheets.seen(seen), mix.rank() == 0 ? Optional.of(seen) : Optional.empty(), mix.rank() == 2);
        });
        Optional<Wanted> screen =
                replies.maybe(SCREEN).map(hex -> new Wanted(Srgb.of(hex).labD50(), Optional.empty(), true));
        return spectrum.or(() -> lab)
                .or(() -> like)
                .or(() -> screen)
                .orElseThrow(() -> new BadInput(
                        TARGET.label(),
                        "",
                        "give the colour as L* a* b* or a spectrum, by an ink that has it, or as a screen shows it"));
    }
}
