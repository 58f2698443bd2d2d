// region event
package example;

import slabside.plugin.Json;
import slabside.plugin.OwnEvent;

/** The paper store was read. Version 1 had the temperature in °F. */
public final class PaperStoreRead implements OwnEvent {
    public String type() {
        return "paper-store.read";
    }

    public int version() {
        return 2;
    }

    @Override
    public Json.Fields upcast(int version, Json.Fields fields) {
        double fahrenheit = fields.at("fahrenheit").number().orElse(32);
        return fields.without("fahrenheit").with("celsius", OwnEvent.decimal((fahrenheit - 32) / 1.8));
    }
}
// endregion
