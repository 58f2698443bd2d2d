package slabside.swatch;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import slabside.measure.Lab;
import slabside.measure.Spectrum;
import slabside.plugin.Answer;
import slabside.plugin.Json;

/**
 * One reading of a file.
 *
 * @param line of the file at which it stands, from 1
 * @param name as the file has it, or an empty text
 * @param how it was read, as far as the file says
 */
record Sample(
        int line,
        String name,
        Optional<Spectrum> spectrum,
        Optional<Lab> lab,
        Optional<BigDecimal> density,
        Conditions how) {
    /** Of "test.colour-read", as it is proposed. */
    static final int VERSION = 2;

    /** How it was read; each an empty text where the file does not say. */
    record Conditions(String instrument, String geometry, String illuminant, String observer, String backing) {
        static final Conditions UNKNOWN = new Conditions("", "", "", "", "");

        /** These, and what they do not say from others. */
        Conditions or(Conditions others) {
            return new Conditions(
                    instrument.isEmpty() ? others.instrument : instrument,
                    geometry.isEmpty() ? others.geometry : geometry,
                    illuminant.isEmpty() ? others.illuminant : illuminant,
                    observer.isEmpty() ? others.observer : observer,
                    backing.isEmpty() ? others.backing : backing);
        }
    }

    /**
     * As an entry to be written down.
     *
     * @param over what it lies over, the first printed first
     * @param hoursDry empty when nobody said
     */
    Answer.Proposal proposed(String of, List<String> over, OptionalDouble hoursDry) {
        Json.Fields fields = fields(of);
        if (hoursDry.isPresent()) {
            fields = fields.with(
                    "hoursDry",
                    BigDecimal.valueOf(hoursDry.getAsDouble())
                            .setScale(2, RoundingMode.HALF_UP)
                            .toPlainString());
        }
        if (!over.isEmpty()) {
            fields = fields.with(
                    "over",
                    new Json.Items(
                            over.stream().map(id -> (Json) new Json.Text(id)).toList()));
        }
        return new Answer.Proposal("test.colour-read", VERSION, fields, "", List.of(), OptionalLong.empty());
    }

    /** As fields of a "test.colour-read", version {@value #VERSION}. */
    private Json.Fields fields(String of) {
        Json.Fields fields = Json.fields().with("of", of);
        if (spectrum.isPresent()) {
            Spectrum read = spectrum.get();
            fields = fields.with(
                    "spectrum",
                    Json.fields()
                            .with("startNm", BigDecimal.valueOf(read.startNm()))
                            .with("stepNm", BigDecimal.valueOf(read.stepNm()))
                            .with(
                                    "values",
                                    new Json.Items(read.values().stream()
                                            .map(value -> (Json) new Json.Text(value.toPlainString()))
                                            .toList())));
        }
        if (lab.isPresent()) {
            fields = fields.with(
                    "lab",
                    Json.fields()
                            .with("l", lab.get().l().toPlainString())
                            .with("a", lab.get().a().toPlainString())
                            .with("b", lab.get().b().toPlainString()));
        }
        if (density.isPresent()) {
            fields = fields.with("density", density.get().toPlainString());
        }
        fields = said(fields, "instrument", how.instrument());
        fields = said(fields, "geometry", how.geometry());
        fields = said(fields, "illuminant", how.illuminant());
        fields = said(fields, "observer", how.observer());
        return said(fields, "backing", how.backing());
    }

    private static Json.Fields said(Json.Fields fields, String field, String value) {
        return value.isEmpty() ? fields : fields.with(field, value);
    }
}
