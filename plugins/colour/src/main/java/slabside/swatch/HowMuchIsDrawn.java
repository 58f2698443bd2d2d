package slabside.swatch;

import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import slabside.body.Drawing;
import slabside.colour.Srgb;
import slabside.looks.Sheets;
import slabside.measure.Area;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/** What part of a sheet is drawn on, from a scan or photo of the drawing, and the ink that a print of it takes. */
public final class HowMuchIsDrawn implements Calculator {
    private static final Question<Upload> PICTURE = Question.picture("picture", "Scan or photo of the drawing")
            .hint("with a margin of bare paper; uneven light is taken out");
    private static final Question<Double> THRESHOLD = Question.percent(
                    "threshold", "Darker than this part of the paper counts as drawn", 5, 99)
            .optional()
            .hint("open to find it between the two heaps of greys");
    private static final Question<Area> OUTLINE =
            Question.area("outline", "What the picture shows is").optional().hint("such as 40 x 50 cm, for grams");
    /** Standard uncertainty of what is found: ten drawn pictures were within three hundredths. */
    private static final double FOUND = 0.015;

    private static final int LONGEST = 900;
    private static final int SHOWN = 300;

    @Override
    public Card card() {
        return new Card(
                "how-much-is-drawn", "How much is drawn?", "What part of the sheet takes ink, by a picture of it?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(PICTURE, THRESHOLD, OUTLINE, Sheets.FILM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        PictureRead picture = PictureRead.of(PICTURE, replies.to(PICTURE), LONGEST);
        double[] light = new double[picture.rgb().length];
        for (int i = 0; i < light.length; i++) {
            int rgb = picture.rgb()[i];
            light[i] = 0.2126 * Srgb.linear((rgb >> 16 & 0xff) / 255.0)
                    + 0.7152 * Srgb.linear((rgb >> 8 & 0xff) / 255.0)
                    + 0.0722 * Srgb.linear((rgb & 0xff) / 255.0);
        }
        Drawing.Covered covered = Drawing.of(
                light,
                picture.width(),
                picture.height(),
                replies.maybe(THRESHOLD)
                        .map(percent -> OptionalDouble.of(percent / 100))
                        .orElse(OptionalDouble.empty()));
        Answer answer = Answer.titled("How much is drawn?");
        if (covered.threshold() == 0) {
            return answer.text(
                    "Nothing in it is darker than the rest: it is bare, or it is drawn on all over. Leave a margin of bare"
                            + " paper in the picture, or give a threshold.");
        }
        double part = covered.part();
        double u = StrictMath.hypot(Math.max(covered.high() - part, part - covered.low()) / 2, FOUND);
        answer = answer.quantity(
                        "Drawn on",
                        new Uncertain(part * 100, u * 100),
                        "%",
                        String.format(
                                Locale.ROOT,
                                "darker than %.0f %% of the paper; between %.0f and %.0f %% if that were a twentieth otherwise",
                                covered.threshold() * 100,
                                covered.low() * 100,
                                covered.high() * 100))
                .with(new Answer.Picture("Black: what counts as drawn", mask(picture, covered.drawn())));
        if (replies.maybe(OUTLINE).isPresent()) {
            double grams = replies.to(OUTLINE).squareCentimetres() / 1e4 * replies.to(Sheets.FILM);
            answer = answer.quantity(
                    "Ink for a print",
                    new Uncertain(grams * part, grams * u),
                    "g",
                    "outline × what is drawn × film; what stays on roller and slab comes beside it");
        }
        return answer.caution(
                        "Grain of crayon is finer than most pictures: take it close, or scan at 300 dots to the inch.")
                .assumption("What is drawn prints whole, and what is not prints nothing", "assumption");
    }

    /** Small enough to be shown. */
    private static Upload mask(PictureRead picture, boolean[] drawn) {
        int every = Math.max(1, (Math.max(picture.width(), picture.height()) + SHOWN - 1) / SHOWN);
        int width = (picture.width() + every - 1) / every;
        int height = (picture.height() + every - 1) / every;
        int[] rgb = new int[width * height];
        for (int y = 0; y < height; y++) {
            for (int x = 0; x < width; x++) {
                rgb[y * width + x] = drawn[y * every * picture.width() + x * every] ? 0x111111 : 0xffffff;
            }
        }
        return PictureRead.png("drawn.png", width, height, rgb);
    }
}
