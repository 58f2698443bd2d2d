package slabside.web;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.ThingId;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;

/** How inks look on paper, by the calculator that makes the colour card; nothing where it was taken away. */
final class Looks {
    private static final String CARD = "how-inks-look";

    private final Desk desk;

    Looks(Desk desk) {
        this.desk = desk;
    }

    /** A swatch of each ink whose colour is known: as it is now or, of one that was used up, as it last was. */
    Map<ThingId, Answer.Swatch> of(List<ThingId> inks) {
        Optional<Calculator> card = desk.studio.host().bundled(CARD);
        Map<ThingId, Answer.Swatch> looks = new HashMap<>();
        if (inks.isEmpty() || card.isEmpty()) {
            return looks;
        }
        List<String> asked = inks.stream().map(ThingId::text).toList();
        List<Answer.Swatch> swatches =
                desk.studio.host().ask(card.get(), Map.of("inks", String.join(",", asked))).blocks().stream()
                        .filter(Answer.Swatches.class::isInstance)
                        .flatMap(block -> ((Answer.Swatches) block).swatches().stream())
                        .toList();
        for (int i = 0; i < Math.min(inks.size(), swatches.size()); i++) {
            if (!swatches.get(i).screen().isEmpty()) {
                looks.put(inks.get(i), swatches.get(i));
            }
        }
        return looks;
    }
}
