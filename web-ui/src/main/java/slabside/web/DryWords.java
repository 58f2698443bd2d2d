package slabside.web;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.edition.Drying;
import slabside.event.Catalogue;
import slabside.event.EventCodec;
import slabside.event.PressEvent;
import slabside.event.TestEvent;
import slabside.plugin.Answer;

/** How a layer dried and when the next run is sensible, in words. */
final class DryWords {
    private final Desk desk;

    DryWords(Desk desk) {
        this.desk = desk;
    }

    /** What was judged of a batch last. */
    String judged(Drying batch) {
        String put = batch.put()
                .map(told -> ", " + Catalogue.type(told.event()).replaceAll(".*\\.", "")
                        + (told.event() instanceof PressEvent.Stacked stacked
                                        && Boolean.TRUE.equals(stacked.interleaved())
                                ? " and interleaved "
                                : " ")
                        + desk.lately(told.key().millis()))
                .orElse("");
        return batch.judged()
                .map(told -> {
                    TestEvent.DrynessJudged judged = (TestEvent.DrynessJudged) told.event();
                    String what = batch.isDry()
                            ? "rubbed dry "
                            : EventCodec.word(judged.dryness()).replace('-', ' ') + " ";
                    return what + desk.lately(told.key().millis()) + ", "
                            + hours((told.key().millis() - batch.printed()) / 3_600_000.0) + " after the last pull"
                            + put;
                })
                .orElseGet(() -> "not rubbed yet; last pull " + desk.lately(batch.printed()) + put);
    }

    static String hours(double hours) {
        return hours < 48
                ? String.format(Locale.ROOT, "%.0f h", hours)
                : String.format(Locale.ROOT, "%.0f days", hours / 24);
    }

    /** When the next run is sensible, from this studio's own past; never a number without it. */
    String next(Optional<Drying.Expected> expected) {
        return expected.map(each -> {
                    int n = each.evidence().size();
                    double least = each.evidence().stream()
                            .mapToDouble(past -> past.dryBy().orElseThrow())
                            .min()
                            .orElseThrow();
                    double most = each.evidence().stream()
                            .mapToDouble(past -> past.dryBy().orElseThrow())
                            .max()
                            .orElseThrow();
                    String range = hours(least).equals(hours(most)) ? hours(most) : hours(least) + " to " + hours(most);
                    String alike = each.sameSurface()
                            ? each.evidence()
                                    .get(0)
                                    .surface()
                                    .map(EventCodec::word)
                                    .orElse("")
                            : "of any surface";
                    return "Earliest sensible next run, by this studio's past: " + desk.lately(each.from()) + ". "
                            + (n == 1
                                    ? "The one batch before it (" + alike + ") was rubbed dry by "
                                    : "The last " + n + " batches (" + alike + ") were rubbed dry by ")
                            + range + ". Rub it before printing.";
                })
                .orElse("Nothing was ever rubbed dry here, so nothing is known: rub it before printing.");
    }

    /** The past that {@link #next} comes from. */
    Answer.Table evidence(Drying.Expected expected) {
        List<List<String>> rows = new ArrayList<>();
        for (Drying past : expected.evidence()) {
            rows.add(List.of(
                    desk.studio.name(past.run()),
                    past.surface().map(EventCodec::word).orElse(""),
                    past.notDryAt().isPresent()
                            ? String.format(Locale.ROOT, "%.0f", past.notDryAt().getAsDouble())
                            : "",
                    String.format(Locale.ROOT, "%.0f", past.dryBy().orElseThrow()),
                    past.overprinted().isPresent()
                            ? String.format(
                                    Locale.ROOT, "%.0f", past.overprinted().getAsDouble())
                            : "",
                    past.overprinted().isEmpty()
                            ? ""
                            : past.trouble().isEmpty() ? "none noted" : String.join(", ", past.trouble())));
        }
        return new Answer.Table(
                "What dried here before",
                List.of("run", "surface", "not dry at h", "dry by h", "printed over after h", "trouble then"),
                rows);
    }
}
