package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import slabside.colour.InkFilm;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/**
 * What is in a vessel, as one film of 1 g/m².
 *
 * @param parts what it is made of and how each is known
 * @param gaps what was not written down
 */
record Mixed(String name, InkFilm film, List<Known> parts, List<Double> shares, List<String> gaps) {
    Mixed {
        parts = List.copyOf(parts);
        shares = List.copyOf(shares);
        gaps = List.copyOf(gaps);
    }

    static Mixed of(String vessel, String field, StudioView studio) {
        StudioView.Composition in = studio.composition(vessel);
        if (in.shares().isEmpty()) {
            throw new BadInput(field, in.name(), "nothing is in it now; pick a mix or packet that holds ink");
        }
        List<Known> parts = new ArrayList<>();
        List<Double> shares = new ArrayList<>();
        for (StudioView.Share share : in.shares()) {
            parts.add(Known.of(share.material(), studio));
            shares.add(Math.max(0, share.share().value()));
        }
        InkFilm film = InkFilm.mixed(
                parts.stream().map(Known::film).toList(),
                shares.stream().mapToDouble(each -> each).toArray());
        return new Mixed(in.name(), film, parts, shares, in.gaps());
    }

    /** Whether anything in it has a colour that is known. */
    boolean isColoured() {
        return parts.stream().anyMatch(part -> part.rank() < 3);
    }

    /** How each material is known, and what was taken for granted. */
    Answer told(Answer answer) {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < parts.size(); i++) {
            rows.add(List.of(
                    parts.get(i).material().name(),
                    String.format(java.util.Locale.ROOT, "%.2f", shares.get(i) * 100),
                    parts.get(i).how()));
        }
        Answer told = answer.table("What " + name + " is known by", List.of("material", "%", "known from"), rows);
        for (String gap : gaps) {
            told = told.caution(gap + "; shares are of what was written down.");
        }
        return told;
    }
}
