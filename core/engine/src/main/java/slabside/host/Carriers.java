package slabside.host;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.EventCodec;
import slabside.event.ThingId;
import slabside.ink.Ledger;
import slabside.plugin.StudioView;
import slabside.views.Views;

/** Prints that carry ink from some vessels, as a list to act on: by sheet, with what the sheet became and where it is. */
final class Carriers {
    private final Views views;
    private final Runs runs;
    private final Function<ThingId, Edition> editions;
    private final Map<ThingId, Map<String, Run.Pull>> pulls = new HashMap<>();
    private final Map<ThingId, Optional<Run>> found = new HashMap<>();

    Carriers(Views views, Runs runs, Function<ThingId, Edition> editions) {
        this.views = views;
        this.runs = runs;
        this.editions = editions;
    }

    /** Of several vessels, such as cans of one lot, the shares are added up. */
    List<StudioView.Carrier> of(List<ThingId> vessels) {
        Map<String, Ledger.Printed> printed = new LinkedHashMap<>();
        for (ThingId vessel : vessels) {
            runs.ledger()
                    .trace(vessel)
                    .pulls()
                    .forEach(each -> printed.merge(
                            each.pull().text(),
                            each,
                            (one, other) -> new Ledger.Printed(
                                    one.pull(), one.run(), one.grams() + other.grams(), one.share() + other.share())));
        }
        List<StudioView.Carrier> carriers = new ArrayList<>();
        printed.values().forEach(each -> carrier(each).ifPresent(carriers::add));
        carriers.sort(
                Comparator.comparing((StudioView.Carrier each) -> each.sheet().isEmpty())
                        .thenComparing(StudioView.Carrier::sheet)
                        .thenComparing(StudioView.Carrier::runName)
                        .thenComparing(StudioView.Carrier::pull));
        return carriers;
    }

    private Optional<StudioView.Carrier> carrier(Ledger.Printed printed) {
        Optional<Run> run = found.computeIfAbsent(printed.run(), runs::run);
        if (run.isEmpty()) {
            return Optional.empty();
        }
        Run.Pull pull = pulls.computeIfAbsent(printed.run(), id -> byEvent(run.get()))
                .get(printed.pull().text());
        if (pull == null) {
            return Optional.empty();
        }
        Optional<Edition> edition = run.get().edition().map(editions);
        ThingId sheet = pull.sheet();
        Optional<Register.Impression> impression =
                edition.map(of -> of.register().impressions().get(sheet));
        return Optional.of(new StudioView.Carrier(
                printed.pull().text(),
                printed.run().text(),
                views.name(printed.run()),
                run.get().edition().map(views::name).orElse(""),
                pull.number(),
                EventCodec.word(pull.event().mode()),
                sheet == null ? "" : views.name(sheet),
                impression.map(Register.Impression::written).orElse(""),
                impression
                        .map(each -> EventCodec.word(each.where()).replace('-', ' '))
                        .orElse(edition.filter(of -> of.register().destroyed().contains(sheet))
                                .map(of -> "destroyed")
                                .orElse("")),
                EventCodec.word(pull.event().grade()),
                printed.share()));
    }

    private static Map<String, Run.Pull> byEvent(Run run) {
        Map<String, Run.Pull> byEvent = new HashMap<>();
        run.pulls().forEach(pull -> byEvent.put(pull.told().id().text(), pull));
        return byEvent;
    }
}
