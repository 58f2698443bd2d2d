package slabside.swatch;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** A colour card of what is kept: each ink as a film on paper, as it was read or as computed. The pages take their swatches from it. */
public final class HowInksLook implements Calculator {
    private static final Question<String> INKS =
            Question.text("inks", "Inks").optional().hint("ids with commas between them; open for all that is kept");

    @Override
    public Card card() {
        return new Card("how-inks-look", "Colour card", "How do the inks that are kept look on paper?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INKS, Sheets.FILM, Sheets.PAPER);
    }

    /** One swatch for each ink that was asked for, in that order; without a colour where none is known. */
    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double film = replies.to(Sheets.FILM);
        List<StudioView.Composition> inks = new ArrayList<>();
        Optional<String> asked = replies.maybe(INKS);
        if (asked.isPresent()) {
            for (String each : asked.get().split(",")) {
                inks.add(Mixed.filled(each.strip(), studio));
            }
        } else {
            for (String kind : List.of("packet", "mix")) {
                studio.find(kind, "").stream()
                        .map(thing -> studio.composition(thing.id()))
                        .filter(in -> !in.shares().isEmpty() && in.grams().value() > 0)
                        .forEach(inks::add);
            }
        }
        Map<String, Known> known = new HashMap<>();
        List<Answer.Swatch> swatches = new ArrayList<>();
        int worst = 0;
        for (StudioView.Composition in : inks) {
            Optional<Mixed> mix = in.shares().isEmpty() ? Optional.empty() : Optional.of(Mixed.of(in, studio, known));
            if (mix.isPresent() && mix.get().isColoured()) {
                swatches.add(swatch(mix.get(), mix.get().film().times(film).over(paper)));
                worst = Math.max(worst, mix.get().rank());
            } else {
                swatches.add(new Answer.Swatch(in.name(), "", "its colour is not known"));
            }
        }
        Answer answer = Answer.titled("Colour card");
        return swatches.isEmpty()
                ? answer.text("No mix or packet holds ink.")
                : Sheets.honest(answer.with(new Answer.Swatches("Each as a film on paper", swatches)), worst);
    }

    private static Answer.Swatch swatch(Mixed ink, Bands film) {
        if (ink.read().isPresent()) {
            return Sheets.read(ink.name(), ink.read().get());
        }
        Answer.Swatch computed = Sheets.swatch(ink.name(), film);
        return new Answer.Swatch(
                computed.label(),
                computed.screen(),
                computed.words()
                        + switch (ink.rank()) {
                            case 0 -> ", computed from spectra";
                            case 1 -> ", computed from L*a*b*";
                            default -> ", computed from screen colours";
                        });
    }
}
