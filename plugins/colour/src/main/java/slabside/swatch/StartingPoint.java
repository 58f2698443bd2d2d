package slabside.swatch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.colour.InkFilm;
import slabside.colour.Overprint;
import slabside.colour.Separation;
import slabside.colour.Srgb;
import slabside.colour.Xyz;
import slabside.looks.Known;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Progress;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/**
 * From a picture: inks of the shelf, how far to let them down, and their order, whose overlaps come nearest; a print as it might
 * look, and each run in grey to draw from.
 */
public final class StartingPoint implements Calculator {
    private static final Question<Upload> PICTURE =
            Question.picture("picture", "Picture").hint("a sketch or photo, PNG or JPEG");
    private static final Question<Integer> RUNS =
            Question.count("runs", "Runs", 2, Separation.MOST_RUNS).preset("4", Question.Origin.ASSUMPTION);
    private static final Question<Integer> SEED = Question.count("seed", "Another try", 1, 999_999)
            .preset("1", Question.Origin.ASSUMPTION)
            .hint("the same number gives the same answer again");
    private static final double[] SHARES = {0.5, 0.25, 0.12, 0.06, 0.03};
    /** Inks that are tried; more take too long. */
    private static final int MOST_INKS = 12;

    private static final int COLOURS = 32;
    /** Longer side of the picture as it is thought about, and as it is shown. */
    private static final int LOOKED_AT = 240;

    private static final int CHANCES = 100;
    private static final int SHOWN_OVERLAPS = 24;
    /** Part of the time that the search takes; the rest is the print. */
    private static final double SEARCH = 0.9;

    @Override
    public Card card() {
        return new Card(
                "starting-point",
                "A starting point from a picture",
                "Which inks, how thin and in which order, for this picture?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(PICTURE, RUNS, SEED, Sheets.FILM, Sheets.PAPER, Sheets.DARKEST);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        return answer(replies, studio, Progress.NONE);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio, Progress progress) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        int runs = replies.to(RUNS);
        int seed = replies.to(SEED);
        List<Known> inks = inks(studio);
        List<InkFilm> films = inks.stream().map(ink -> ink.film().times(weight)).toList();
        PictureRead picture = PictureRead.of(PICTURE, replies.to(PICTURE), LOOKED_AT);
        List<CieLab> pixels = onPaper(picture, paper);
        Separation separation = new Separation(
                films, SHARES, paper, Overprint.onPaperWithBlack(replies.to(Sheets.DARKEST) / 100), Known.D50);
        Separation.Palette palette = Separation.Palette.of(pixels, COLOURS, seed);
        Separation.Plan plan = separation.plan(
                palette, runs, seed, done -> progress.at(SEARCH * done, "trying inks, let-downs and orders"));
        Random random = new Random(seed);
        double chance = Double.MAX_VALUE;
        for (int n = 0; n < CHANCES; n++) {
            chance = Math.min(chance, separation.chance(palette, runs, random).off());
        }
        Separation.Printed printed = separation.printed(plan.runs());
        int[] print = new int[pixels.size()];
        int[][] greys = new int[runs][pixels.size()];
        double sum = 0;
        double[] covered = new double[runs];
        for (int i = 0; i < pixels.size(); i++) {
            double[] tones = printed.tones(pixels.get(i));
            CieLab seen = printed.seen(tones);
            sum += Difference.ciede2000(pixels.get(i), seen);
            Srgb shown = Srgb.ofD50(seen);
            print[i] = shown.red() << 16 | shown.green() << 8 | shown.blue();
            for (int run = 0; run < runs; run++) {
                covered[run] += tones[run] / pixels.size();
                int grey = (int) StrictMath.round(255 * (1 - tones[run]));
                greys[run][i] = grey << 16 | grey << 8 | grey;
            }
            if (i % picture.width() == 0) {
                progress.at(SEARCH + (1 - SEARCH) * i / pixels.size(), "drawing the print");
            }
        }
        Answer answer = Answer.titled("A starting point from a picture")
                .text("Print " + String.join(", then ", names(plan, inks)) + ".")
                .with(new Answer.Swatches("Where they lie one over the other", overlaps(separation, plan, inks)));
        for (int run = 0; run < runs; run++) {
            answer = answer.with(strip(run, plan.runs().get(run), inks, covered[run]));
        }
        answer = answer.with(new Answer.Picture(
                        "The print as it might look",
                        PictureRead.png("print.png", picture.width(), picture.height(), print)))
                .quantity(
                        "Off in the mean",
                        StrictMath.round(10 * sum / pixels.size()) / 10.0,
                        "ΔE00",
                        "of this print from the picture, its white taken as the paper")
                .quantity(
                        "Off in the mean, its " + palette.colours().size() + " main colours",
                        StrictMath.round(10 * plan.off()) / 10.0,
                        "ΔE00",
                        String.format(Locale.ROOT, "the best of %d choices by chance is off by %.1f", CHANCES, chance));
        for (int run = 0; run < runs; run++) {
            answer = answer.with(new Answer.Picture(
                    "Run " + (run + 1) + ", to draw from: " + names(plan, inks).get(run),
                    PictureRead.png("run-" + (run + 1) + ".png", picture.width(), picture.height(), greys[run])));
        }
        return Sheets.honest(
                Sheets.wetBesideDry(answer, inks)
                        .text(
                                plan.runs().stream()
                                                .anyMatch(tint ->
                                                        films.get(tint.ink()).scatters())
                                        ? Stack.SCATTERS
                                        : Stack.MEASURED)
                        .caution(
                                "This is a place to begin, not a proof: draw what you see, and pull each overlap small before the"
                                        + " stones are drawn.")
                        .assumption(
                                "Tones are areas that the grain covers; films lie one over the other by chance",
                                "assumption")
                        .table(
                                "Inks that were tried",
                                List.of("ink", "known from"),
                                inks.stream()
                                        .map(ink -> List.of(ink.material().name(), ink.how()))
                                        .toList()),
                inks.stream().mapToInt(Known::rank).max().orElse(0));
    }

    /** Inks whose colour is known, those first of which most is left. */
    private static List<Known> inks(StudioView studio) {
        Stock stock = Stock.of(studio);
        List<Known> inks = studio.materials().stream()
                .map(material -> Known.of(material, studio))
                .filter(known -> known.rank() < 3)
                .sorted(Comparator.comparingDouble(
                        (Known known) -> -stock.grams(known.material().id())))
                .limit(MOST_INKS)
                .toList();
        if (inks.isEmpty()) {
            throw new BadInput(
                    "inks", "none", "no ink of this studio has a colour that is known; give them screen colours");
        }
        return inks;
    }

    /** The colours of a picture, its white brought to the paper. */
    private static List<CieLab> onPaper(PictureRead picture, Bands paper) {
        Xyz bare = Known.D50.xyz(paper);
        Xyz white = Known.D50.white();
        List<CieLab> pixels = new ArrayList<>(picture.rgb().length);
        java.util.Map<Integer, CieLab> met = new java.util.HashMap<>();
        for (int rgb : picture.rgb()) {
            pixels.add(met.computeIfAbsent(rgb, any -> {
                Xyz seen = new Srgb(rgb >> 16 & 0xff, rgb >> 8 & 0xff, rgb & 0xff, true)
                        .labD50()
                        .xyz(white);
                return new Xyz(
                                seen.x() * bare.x() / white.x(),
                                seen.y() * bare.y() / white.y(),
                                seen.z() * bare.z() / white.z())
                        .lab(white);
            }));
        }
        return pixels;
    }

    private static List<String> names(Separation.Plan plan, List<Known> inks) {
        return plan.runs().stream()
                .map(tint -> String.format(
                        Locale.ROOT,
                        "%s %.0f %%",
                        inks.get(tint.ink()).material().name(),
                        tint.share() * 100))
                .toList();
    }

    private static Answer.Strip strip(int run, Separation.Tint tint, List<Known> inks, double covered) {
        StudioView.Material ink = inks.get(tint.ink()).material();
        return new Answer.Strip(
                String.format(
                        Locale.ROOT,
                        "Run %d: %s %.0f %% in transparent base, covers %.0f %% of the sheet",
                        run + 1,
                        ink.name(),
                        tint.share() * 100,
                        covered * 100),
                List.of(
                        new Answer.Part("transparent base", 1 - tint.share(), ""),
                        new Answer.Part(ink.name(), tint.share(), ink.screen())));
    }

    /** Each run by itself, then pairs, then more, each whole. */
    private static List<Answer.Swatch> overlaps(Separation separation, Separation.Plan plan, List<Known> inks) {
        List<Integer> which = new ArrayList<>();
        for (int each = 1; each < 1 << plan.runs().size(); each++) {
            which.add(each);
        }
        which.sort(Comparator.comparingInt((Integer each) -> Integer.bitCount(each))
                .thenComparingInt(each -> each));
        List<Answer.Swatch> swatches = new ArrayList<>();
        for (int each : which.subList(0, Math.min(SHOWN_OVERLAPS, which.size()))) {
            List<String> numbers = new ArrayList<>();
            for (int run = 0; run < plan.runs().size(); run++) {
                if ((each >> run & 1) == 1) {
                    numbers.add(String.valueOf(run + 1));
                }
            }
            swatches.add(Sheets.swatch(
                    (numbers.size() == 1 ? "run " : "runs ") + String.join("+", numbers),
                    separation.overlap(plan.runs(), each)));
        }
        return swatches;
    }
}
