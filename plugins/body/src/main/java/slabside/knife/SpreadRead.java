package slabside.knife;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import slabside.body.Spread;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/**
 * A spread of the log, as it was read after about a minute.
 *
 * @param yield stress in Pa, as a disc at rest
 * @param celsius of the glass, where it was read
 */
record SpreadRead(String event, String vessel, long millis, double millimetres, double yield, OptionalDouble celsius) {
    private static final double MINUTE_MS = 60_000;
    private static final double ABOUT_MS = 10_000;
    private static final int MOST = 200;

    /** The newest, newest first. */
    static List<SpreadRead> all(StudioView studio) {
        List<SpreadRead> read = new ArrayList<>();
        String next = "";
        do {
            StudioView.Page page = studio.events("test.spread-measured", next);
            page.moments().stream()
                    .map(SpreadRead::of)
                    .flatMap(Optional::stream)
                    .forEach(read::add);
            next = page.next();
        } while (!next.isEmpty() && read.size() < MOST);
        return read;
    }

    private static Optional<SpreadRead> of(StudioView.Moment moment) {
        Json.Fields fields = moment.fields();
        OptionalDouble diameter = minute(fields);
        double load = fields.at("loadMg").number().orElse(0) / 1e6;
        double volume = fields.at("volumeUl").number().orElse(0) / 1e9;
        if (diameter.isEmpty() || !(load > 0 && volume > 0)) {
            return Optional.empty();
        }
        return Optional.of(new SpreadRead(
                moment.event(),
                fields.at("vessel").text(),
                moment.millis(),
                diameter.getAsDouble(),
                stress(new Spread(load, volume), diameter.getAsDouble()),
                fields.at("celsius").number()));
    }

    /** With what the edge takes, where that counts. */
    static double stress(Spread spread, double millimetres) {
        return spread.edgeCounts(millimetres / 1000)
                ? spread.yieldWithEdge(millimetres / 1000)
                : spread.yieldAtRest(millimetres / 1000);
    }

    private static OptionalDouble minute(Json.Fields fields) {
        return fields.at("readings").items().stream()
                .filter(reading -> Math.abs(reading.at("afterMs").number().orElse(0) - MINUTE_MS) <= ABOUT_MS)
                .mapToDouble(reading -> reading.at("diameterUm").number().orElse(0) / 1000)
                .filter(mm -> mm > 0)
                .findFirst();
    }

    /** Natural logarithm of the yield stress at {@link Warmth#REFERENCE}; where nobody read the glass it is taken to be that. */
    double log(Warmth warmth) {
        return StrictMath.log(yield) + warmth.perKelvin() * (celsius.orElse(Warmth.REFERENCE) - Warmth.REFERENCE);
    }
}
