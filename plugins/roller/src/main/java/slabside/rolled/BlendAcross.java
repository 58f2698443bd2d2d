package slabside.rolled;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.List;
import javax.imageio.ImageIO;
import slabside.colour.Bands;
import slabside.colour.InkFilm;
import slabside.colour.Srgb;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.plugin.Upload;
import slabside.statistics.Chance;

/**
 * Inks side by side on one roller, each as wide as the others, going over into each other in bands of one width.
 *
 * @param across mm
 * @param spread standard deviation of a band, mm
 * @param moved mm to the right
 * @param film g/m²
 */
record BlendAcross(List<Mixed> inks, double across, double spread, double moved, double film, Bands paper) {
    BlendAcross {
        inks = List.copyOf(inks);
    }

    /** Share of each ink at a place, in mm from the left. */
    double[] shares(double at) {
        double[] shares = new double[inks.size()];
        double left = 1;
        for (int i = 0; i < shares.length; i++) {
            // What lies beyond its border is the next ink's.
            double beyond =
                    i == shares.length - 1 ? 0 : Chance.below((at - moved - across * (i + 1) / shares.length) / spread);
            shares[i] = Math.max(0, left - beyond);
            left = beyond;
        }
        return shares;
    }

    /** What is seen there. */
    Bands seen(double at) {
        return InkFilm.mixed(inks.stream().map(Mixed::film).toList(), shares(at))
                .times(film)
                .over(paper);
    }

    Upload picture(String name, int wide, int high) {
        BufferedImage image = new BufferedImage(wide, high, BufferedImage.TYPE_INT_RGB);
        for (int x = 0; x < wide; x++) {
            int rgb = Integer.parseInt(
                    Srgb.ofD50(Sheets.seen(seen(across * (x + 0.5) / wide)))
                            .hex()
                            .substring(1),
                    16);
            for (int y = 0; y < high; y++) {
                image.setRGB(x, y, rgb);
            }
        }
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        try {
            ImageIO.write(image, "png", png);
        } catch (IOException failed) {
            throw new UncheckedIOException("the picture of the blend", failed);
        }
        return Upload.of(name, "image/png", png.toByteArray());
    }
}
