package slabside.looks;

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
public record Mixed(
        String id,
        String name,
        InkFilm film,
        List<Known> parts,
        List<Double> shares,
        Optional<ReadFilm> read,
        List<String> gaps) {
    private static final int WRAPPINGS = 1;

    public Mixed {
        parts = List.copyOf(parts);
        shares = List.copyOf(shares);
        gaps = List.copyOf(gaps);
    }

    public static Mixed of(String vessel, String field, StudioView studio) {
        StudioView.Composition in = filled(vessel, studio);
        if (in.shares().isEmpty()) {
            throw new BadInput(
                    field, in.name(), "nothing that was in it is written down; pick a mix or packet that holds ink");
        }
        return of(in, studio, new HashMap<>());
    }

    /** What is in it now or, of what was used up, just after the last of it was put in. */
    public static StudioView.Composition filled(String vessel, StudioView studio) {
        StudioView.Composition now = studio.composition(vessel);
        List<StudioView.Path> into = now.shares().isEmpty() ? studio.into(vessel) : List.of();
        return into.isEmpty()
                ? now
                : studio.compositionAfter(vessel, into.get(into.size() - 1).event());
    }

    /**
     * @param known of materials met before; those of this ink are put in
     */
    public static Mixed of(StudioView.Composition in, StudioView studio, Map<String, Known> known) {
        List<Known> parts = new ArrayList<>();
        List<Double> shares = new ArrayList<>();
        for (StudioView.Share share : in.shares()) {
            parts.add(known.computeIfAbsent(share.material().id(), any -> Known.of(share.material(), studio)));
            shares.add(Math.max(0, share.share().value()));
        }
        return of(in.vessel(), in.name(), parts, shares, read(in.vessel(), studio, WRAPPINGS), in.gaps());
    }

    /** When something went into it last: films made before are of another ink. */
    public static long changed(String vessel, StudioView studio) {
        return studio.into(vessel).stream()
                .mapToLong(StudioView.Path::millis)
                .max()
                .orElse(Long.MIN_VALUE);
    }

    /** A film of this ink; of a packet into which a mix was wrapped, a film of that mix as it was wrapped. */
    private static Optional<ReadFilm> read(String vessel, StudioView studio, int deep) {
        List<StudioView.Path> into = studio.into(vessel);
        Optional<ReadFilm> own = ReadFilm.of(vessel, changed(vessel, studio), studio);
        if (own.isPresent()
                || deep == 0
                || into.size() != 1
                || !into.get(0).why().equals("wrapped")) {
            return own;
        }
        StudioView.Path wrapped = into.get(0);
        long since = studio.into(wrapped.from()).stream()
                .mapToLong(StudioView.Path::millis)
                .filter(millis -> millis <= wrapped.millis())
                .max()
                .orElse(Long.MIN_VALUE);
        boolean changedLater = changed(wrapped.from(), studio) > wrapped.millis();
        return changedLater ? Optional.empty() : ReadFilm.of(wrapped.from(), since, studio);
    }

    /** The ink of a run, as it was on the rollers with its last edition pull. */
    public static Optional<Mixed> ofRun(String run, StudioView studio) {
        Optional<StudioView.RunRecord> record = studio.runRecord(run);
        Optional<List<StudioView.OnLoad>> loads = record.stream()
                .flatMap(each -> each.pulls().stream())
                .map(StudioView.PullRow::loads)
                .filter(each -> !each.isEmpty())
                .reduce((before, last) -> last);
        if (loads.isEmpty()) {
            return Optional.empty();
        }
        Map<String, Double> shares = new HashMap<>(loads.get().get(0).shares());
        List<Known> parts = new ArrayList<>();
        List<Double> parted = new ArrayList<>();
        for (StudioView.Material material : studio.materials()) {
            // A load tells its shares by name: of two materials of one name the first is taken.
            Double share = shares.remove(material.name());
            if (share != null) {
                parts.add(Known.of(material, studio));
                parted.add(share);
            }
        }
        // What was read on a sheet may lie over other runs.
        List<StudioView.ColourReading> bare = studio.colourReadings(run).stream()
                .filter(reading -> reading.sheet().isEmpty())
                .toList();
        return Optional.of(of(
                run,
                record.get().name(),
                parts,
                parted,
                ReadFilm.of(bare),
                loads.get().size() > 1
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
        // A photo tells less than materials that were read.
        int computed = rank(parts);
        Optional<ReadFilm> used = read.filter(each -> each.measured() || computed >= each.rank());
        InkFilm film = used.map(ReadFilm::film)
                .orElseGet(() -> InkFilm.mixed(
                        parts.stream().map(Known::film).toList(),
                        shares.stream().mapToDouble(each -> each).toArray()));
        return new Mixed(id, name, film, parts, shares, used, gaps);
    }

    public Mixed called(String other) {
        return new Mixed(id, other, film, parts, shares, read, gaps);
    }

    /** 0 for what is known best, 2 for a screen colour: the worst of what its colour stands on. */
    public int rank() {
        return read.map(ReadFilm::rank).orElseGet(() -> rank(parts));
    }

    private static int rank(List<Known> parts) {
        return parts.stream()
                .mapToInt(part -> part.rank() == 3 ? 0 : part.rank())
                .max()
                .orElse(0);
    }

    /** Whether anything in it has a colour that is known. */
    public boolean isColoured() {
        return read.isPresent() || parts.stream().anyMatch(part -> part.rank() < 3);
    }

    /** How each material is known, and what was taken for granted. */
    public Answer told(Answer answer) {
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
