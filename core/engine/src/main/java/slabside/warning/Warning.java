package slabside.warning;

import java.util.List;
import java.util.Map;
import slabside.event.EventCodec;
import slabside.event.LogEvent;
import slabside.event.ThingId;

/**
 * One rule speaking up.
 *
 * @param text for the screen, with the numbers in it
 * @param values the numbers alone, as they are logged
 */
public record Warning(Rule rule, String text, List<ThingId> things, Map<String, String> values) {
    public Warning {
        things = List.copyOf(things);
        values = Map.copyOf(values);
    }

    public boolean stops() {
        return rule.grade() == Rule.Grade.STOP;
    }

    /** As it is written down, once a stop was confirmed or a strip was shown. */
    public LogEvent.Warned logged() {
        return new LogEvent.Warned(EventCodec.word(rule), things, values, stops());
    }
}
