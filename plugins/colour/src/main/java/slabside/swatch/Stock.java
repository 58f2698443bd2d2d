package slabside.swatch;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** What is left in the cans of each material, and what a gram of it cost when it last came in with a price. */
final class Stock {
    private static final String RECEIVED = "shelf.can-received";

    /**
     * @param perGram what a gram cost
     */
    record Price(double perGram, String currency) {}

    private final Map<String, Double> grams = new HashMap<>();
    private final Map<String, Price> prices = new HashMap<>();

    static Stock of(StudioView studio) {
        Stock stock = new Stock();
        for (StudioView.Thing can : studio.find("can", "")) {
            for (StudioView.Share share : studio.composition(can.id()).shares()) {
                stock.grams.merge(
                        share.material().id(), Math.max(0, share.grams().value()), Double::sum);
            }
        }
        String next = "";
        do {
            StudioView.Page page = studio.events(RECEIVED, next);
            for (StudioView.Moment moment : page.moments()) {
                stock.priced(moment, studio);
            }
            next = page.next();
        } while (!next.isEmpty());
        return stock;
    }

    /** Pages come newest first: the first price of a material is its last. */
    private void priced(StudioView.Moment moment, StudioView studio) {
        Json price = moment.fields().at("price");
        String material = moment.fields().at("material").text();
        if (price.at("amount").number().isEmpty() || prices.containsKey(material)) {
            return;
        }
        studio.into(moment.fields().at("can").text()).stream()
                .filter(path -> path.event().equals(moment.event()))
                .flatMap(path -> path.grams().stream())
                .mapToDouble(received -> received.value())
                .filter(received -> received > 0)
                .findFirst()
                .ifPresent(received -> prices.put(
                        material,
                        new Price(
                                price.at("amount").number().getAsDouble() / received,
                                price.at("currency").text())));
    }

    double grams(String material) {
        return grams.getOrDefault(material, 0.0);
    }

    Optional<Price> price(String material) {
        return Optional.ofNullable(prices.get(material));
    }
}
