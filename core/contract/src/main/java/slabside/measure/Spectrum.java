package slabside.measure;

import java.math.BigDecimal;
import java.util.List;

/**
 * Reflectance factors at even steps of wavelength.
 *
 * @param startNm first wavelength in nanometres
 * @param stepNm distance between wavelengths in nanometres, above zero
 * @param values reflectance factors, 1 for a perfect white
 */
public record Spectrum(int startNm, int stepNm, List<BigDecimal> values) {
    public Spectrum {
        if (stepNm <= 0) {
            throw new BadInput("wavelength step", stepNm + " nm", "must be above zero");
        }
        values = List.copyOf(values);
    }
}
