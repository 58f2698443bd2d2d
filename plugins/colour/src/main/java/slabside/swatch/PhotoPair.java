package slabside.swatch;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.colour.CieLab;
import slabside.colour.Srgb;
import slabside.looks.ReadFilm;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/**
 * How a new dab differs from the OK proof, from one photo of both beside a grey card under the same lamp. Only the difference is
 * taken: what a camera makes of a colour by itself says little.
 */
public final class PhotoPair implements Calculator {
    private static final String GREY = "grey card";
    private static final String PROOF = "OK proof";
    private static final String DAB = "new dab";
    private static final Question<Upload> PICTURE = Question.picture("picture", "Photo of both, with a grey card")
            .hint("same lamp on all three, no flash, no shine, nothing too bright");
    private static final Question<List<Question.Place>> PLACES =
            Question.places("places", "Where they are", GREY, PROOF, DAB);
    private static final Question<Double> CARD =
            Question.percent("card", "The grey card gives back", 5, 95).preset("18", Question.Origin.COMMON_PRACTICE);
    private static final Question<Lab> READ =
            Question.lab("read", "The OK proof as it was read, under D50").optional();
    private static final Question<String> OF = Question.pick("of", "Write it down as the colour of", "vessel", "run")
            .optional()
            .hint("needs the OK proof as it was read");
    private static final Question<String> UNDER = Question.pick("under", "which lies over the ink of", "vessel", "run")
            .optional();
    private static final Question<Double> DRY = Question.number("dry", "The dab has dried for", "hours", 0, 100_000)
            .optional()
            .hint("needed to write it down");
    private static final int LONGEST = 1_600;
    /** Side of what is looked at around a place, as a part of the shorter side. */
    private static final double SIDE = 0.03;

    private static final int BRIGHTEST = 250;
    private static final int DARKEST = 3;
    /** Part of what is looked at that may be too bright or too dark. */
    private static final double FEW = 0.02;
    /** Standard uncertainty of a difference from a photo in each of L*, a*, b*, and a part of the difference; assumptions. */
    private static final double CAMERA = 1;

    private static final double CAMERA_PART = 0.1;

    /**
     * A patch of a photo.
     *
     * @param light of each channel, 0 to 1, in the mean
     * @param spread standard deviation of the mean of the channel that varies most, as a part of it
     */
    private record Patch(double[] light, double spread) {}

    @Override
    public Card card() {
        return new Card("photo-pair", "Two colours in one photo", "How does this dab differ from the OK proof?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(PICTURE, PLACES, CARD, READ, OF, UNDER, DRY);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        PictureRead picture = PictureRead.of(PICTURE, replies.to(PICTURE), LONGEST);
        List<Patch> patches = new ArrayList<>();
        for (Question.Place place : replies.to(PLACES)) {
            patches.add(patch(picture, place));
        }
        double[] grey = patches.get(0).light();
        double card = replies.to(CARD) / 100;
        CieLab proof = beside(patches.get(1), grey, card);
        CieLab dab = beside(patches.get(2), grey, card);
        double spread = StrictMath.hypot(patches.get(1).spread(), patches.get(2).spread());
        Uncertain l = difference(dab.l() - proof.l(), 33 * spread);
        Uncertain a = difference(dab.a() - proof.a(), 60 * spread);
        Uncertain b = difference(dab.b() - proof.b(), 60 * spread);
        List<String> words = new ArrayList<>();
        words(words, l, "lighter", "darker");
        words(words, a, "redder", "greener");
        words(words, b, "yellower", "bluer");
        Answer answer = Answer.titled("Two colours in one photo")
                .text(
                        words.isEmpty()
                                ? "No difference that this photo could show."
                                : "The dab is " + String.join(", ", words) + " than the OK proof.")
                .quantity("L*", l, "", "dab less proof; lighter is positive")
                .quantity("a*", a, "", "dab less proof; redder is positive")
                .quantity("b*", b, "", "dab less proof; yellower is positive")
                .with(new Answer.Swatches(
                        "As the photo has them, made even by the grey card",
                        List.of(
                                new Answer.Swatch(PROOF, Srgb.ofD50(proof).hex(), Sheets.numbers(proof)),
                                new Answer.Swatch(DAB, Srgb.ofD50(dab).hex(), Sheets.numbers(dab)))));
        Optional<Lab> read = replies.maybe(READ);
        if (read.isPresent()) {
            CieLab was = CieLab.of(read.get());
            answer = answer.text(String.format(
                    Locale.ROOT,
                    "With the OK proof as it was read, the dab is about L* %.0f a* %.0f b* %.0f.",
                    was.l() + l.value(),
                    was.a() + a.value(),
                    was.b() + b.value()));
        }
        if (replies.maybe(OF).isPresent()) {
            CieLab was = CieLab.of(read.orElseThrow(
                    () -> new BadInput(READ.label(), "", "give it: a camera by itself reads no colour")));
            Sample sample = new Sample(
                    1,
                    "",
                    Optional.empty(),
                    Optional.of(new Lab(
                            tenth(Math.max(0, was.l() + l.value())),
                            tenth(was.a() + a.value()),
                            tenth(was.b() + b.value()))),
                    Optional.empty(),
                    new Sample.Conditions(ReadFilm.PHOTO, "", "D50", "2°", ""));
            answer = answer.with(new Answer.Proposed(
                    "The colour, from this photo",
                    List.of(sample.proposed(
                            replies.to(OF),
                            replies.maybe(UNDER).stream().toList(),
                            java.util.OptionalDouble.of(replies.to(DRY))))));
        }
        return answer.caution(
                        "A camera by itself gives no recipe: these numbers tell a direction. Dab, dry, and look under"
                                + " the lamp that counts.")
                .assumption(
                        String.format(
                                Locale.ROOT,
                                "A difference from a photo is off by %.0f and a tenth of itself (one standard deviation), beside the"
                                        + " grain of the picture",
                                CAMERA),
                        "assumption")
                .assumption("The camera wrote sRGB, and one lamp lights all three alike", "assumption");
    }

    private static BigDecimal tenth(double value) {
        return BigDecimal.valueOf(value).setScale(1, RoundingMode.HALF_UP);
    }

    private static Uncertain difference(double value, double grain) {
        return new Uncertain(
                value, StrictMath.sqrt(CAMERA * CAMERA + CAMERA_PART * CAMERA_PART * value * value + grain * grain));
    }

    private static void words(List<String> words, Uncertain difference, String more, String less) {
        if (Math.abs(difference.value()) > difference.expanded()) {
            words.add(String.format(
                    Locale.ROOT,
                    "%s by %.0f ± %.0f",
                    difference.value() > 0 ? more : less,
                    Math.abs(difference.value()),
                    difference.expanded()));
        }
    }

    private static Patch patch(PictureRead picture, Question.Place place) {
        int half = (int) Math.max(1, SIDE * Math.min(picture.width(), picture.height()) / 2);
        int x = (int) Math.min(picture.width() - 1, place.x() / 100 * picture.width());
        int y = (int) Math.min(picture.height() - 1, place.y() / 100 * picture.height());
        double[] sum = new double[3];
        double[] squares = new double[3];
        int n = 0;
        int bright = 0;
        int dark = 0;
        for (int py = Math.max(0, y - half); py <= Math.min(picture.height() - 1, y + half); py++) {
            for (int px = Math.max(0, x - half); px <= Math.min(picture.width() - 1, x + half); px++) {
                int rgb = picture.rgb()[py * picture.width() + px];
                int most = 0;
                for (int c = 0; c < 3; c++) {
                    int value = rgb >> (16 - 8 * c) & 0xff;
                    most = Math.max(most, value);
                    double light = Srgb.linear(value / 255.0);
                    sum[c] += light;
                    squares[c] += light * light;
                }
                bright += most >= BRIGHTEST ? 1 : 0;
                dark += most <= DARKEST ? 1 : 0;
                n++;
            }
        }
        if (bright > FEW * n || dark > FEW * n) {
            throw new BadInput(
                    PICTURE.label(),
                    place.name(),
                    "it is too " + (bright > FEW * n ? "bright" : "dark")
                            + " there for the camera; take the photo again with another exposure");
        }
        double spread = 0;
        for (int c = 0; c < 3; c++) {
            sum[c] /= n;
            double variance = Math.max(0, squares[c] / n - sum[c] * sum[c]);
            spread = Math.max(spread, StrictMath.sqrt(variance / n) / Math.max(1e-4, sum[c]));
        }
        return new Patch(sum, spread);
    }

    /** A patch as the grey card would have it: each channel beside that of the card. */
    private static CieLab beside(Patch patch, double[] grey, double card) {
        double[] light = new double[3];
        for (int c = 0; c < 3; c++) {
            light[c] = patch.light()[c] / Math.max(1e-6, grey[c]) * card;
        }
        return Srgb.labD50(light[0], light[1], light[2]);
    }
}
