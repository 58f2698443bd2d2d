package slabside.swatch;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.colour.InkFilm;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/**
 * What is in a vessel or on the rollers of a run, as one film of 1 g/m².
 *
 * @param parts what it is made of and how each is known
 * @param read of this ink itself, as it is now; then {@code film} is that film
 * @param gaps what was not written down
 */
record Mixed(
        String id,
        String name,
        InkFilm film,
        List<Known> parts,
        List<Double> shares,
        Optional<ReadFilm> read,
        List<String> gaps) {
    Mixed {
        parts = List.copyOf(parts);
        shares = List.copyOf(shares);
        gaps = List.copyOf(gaps);
    }

    static Mixed of(String vessel, String field, StudioView studio) {
        StudioView.Composition now = studio.composition(vessel);
        // What was used up is meant as it was when the last of it was put in.
        StudioView.Composition in = now.shares().isEmpty()
                ? studio.into(vessel).stream().mapToLong(StudioView.Path::millis).max().stream()
                        .mapToObj(then -> studio.compositionAt(vessel, then))
                        .findFirst()
                        .orElse(now)
                : now;
        if (in.shares().isEmpty()) {
            throw new BadInput(
                    field, in.name(), "nothing that was in it is written down; pick a mix or packet that holds ink");
        }
        return of(in, studio, new HashMap<>());
    }

    /**
     * @param known of materials met before; those of this ink are put in
     */
    static Mixed of(StudioView.Composition in, StudioView studio, Map<String, Known> known) {
        String vessel = in.vessel();
        List<Known> parts = new ArrayList<>();
        List<Double> shares = new ArrayList<>();
        for (StudioView.Share share : in.shares()) {
            parts.add(known.computeIfAbsent(share.material().id(), any -> Known.of(share.material(), studio)));
            shares.add(Math.max(0, share.share().value()));
        }
        // What was added after a reading makes it one of another ink.
        long changed = studio.into(vessel).stream()
                .mapToLong(StudioView.Path::millis)
                .max()
                .orElse(Long.MIN_VALUE);
        return of(vessel, in.name(), parts, shares, ReadFilm.of(vessel, changed, studio), in.gaps());
    }

    /** The ink of a run, as it was on the rollers with its last edition pull. */
    static Optional<Mixed> ofRun(String run, StudioView studio) {
        Optional<StudioView.RunRecord> record = studio.runRecord(run);
        Optional<StudioView.OnLoad> load = record.stream()
                .flatMap(each -> each.pulls().stream())
                .filter(pull -> !pull.loads().isEmpty())
                .reduce((before, last) -> last)
                .map(pull -> pull.loads().get(0));
        if (load.isEmpty()) {
            return Optional.empty();
        }
        List<Known> parts = new ArrayList<>();
        List<Double> shares = new ArrayList<>();
        for (StudioView.Material material : studio.materials()) {
            Double share = load.get().shares().get(material.name());
            if (share != null) {
                parts.add(Known.of(material, studio));
                shares.add(share);
            }
        }
        return Optional.of(of(
                run,
                record.get().name(),
                parts,
                shares,
                ReadFilm.of(run, Long.MIN_VALUE, studio),
                record.get().pulls().get(0).loads().size() > 1
                        ? List.of("of the inks of " + record.get().name() + " the first across the roller is shown")
                        : List.of()));
    }

    private static Mixed of(
            String id,
            String name,
            List<Known> parts,
            List<Double> shares,
            Optional<ReadFilm> read,
            List<String> gaps) {
        InkFilm film = read.map(ReadFilm::film)
                .orElseGet(() -> InkFilm.mixed(
                        parts.stream().map(Known::film).toList(),
                        shares.stream().mapToDouble(each -> each).toArray()));
        return new Mixed(id, name, film, parts, shares, read, gaps);
    }

    Mixed called(String other) {
        return new Mixed(id, other, film, parts, shares, read, gaps);
    }

    /** 0 for what is known best, 2 for a screen colour: the worst of what its colour stands on. */
    int rank() {
        return read.map(ReadFilm::rank)
                .orElseGet(() -> parts.stream()
                        .mapToInt(part -> part.rank() == 3 ? 0 : part.rank())
                        .max()
                        .orElse(0));
    }

    /** Whether anything in it has a colour that is known. */
    boolean isColoured() {
        return read.isPresent() || parts.stream().anyMatch(part -> part.rank() < 3);
    }

    /** How each material is known, and what was taken for granted. */
    Answer told(Answer answer) {
        List<List<String>> rows = new ArrayList<>();
        read.ifPresent(film -> rows.add(List.of(name + " itself", "", film.how())));
        for (int i = 0; i < parts.size(); i++) {
            rows.add(List.of(
                    parts.get(i).material().name(),
                    String.format(java.util.Locale.ROOT, "%.2f", shares.get(i) * 100),
                    parts.get(i).how()));
        }
        Answer told = answer.table("What " + name + " is known by", List.of("material", "%", "known from"), rows);
        if (read.isEmpty()
                && parts.stream().anyMatch(Known::wet)
                && parts.stream().anyMatch(part -> part.rank() < 3 && !part.wet())) {
            told = told.caution(
                    "In " + name + " some inks were read wet and some dry: wet films look darker and richer. Read"
                            + " them all dry.");
        }
        for (String gap : gaps) {
            told = told.caution(gap + "; shares are of what was written down.");
        }
        return told;
    }
}
