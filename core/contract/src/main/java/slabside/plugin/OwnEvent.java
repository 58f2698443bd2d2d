package slabside.plugin;

import java.math.BigDecimal;
import java.util.regex.Pattern;
import slabside.measure.BadInput;

/**
 * A kind of entry of a plugin's own. It is proposed in an answer ({@link Answer.Proposed}), written by the host when somebody
 * confirms it, and stays in the log for good, with its sentence, also when the plugin is gone. Found through one line in
 * {@code META-INF/services/slabside.plugin.OwnEvent}.
 *
 * <p>Read them with {@link StudioView#events(OwnEvent)}, which brings the fields of earlier versions up to this one. What follows
 * from them is computed when asked, never while something is written.
 */
public interface OwnEvent {
    Pattern TYPE = Pattern.compile("[a-z][a-z0-9]*(-[a-z0-9]+)*\\.[a-z][a-z0-9]*(-[a-z0-9]+)*");

    /**
     * The plugin's prefix, a dot, and what happened in the past tense, such as "paper-store.read"; never changes. The log has it
     * with "plugin." before it. Two plugins of one prefix are not run side by side.
     */
    String type();

    /** From 1; one more each time its fields change their names or meaning. */
    int version();

    /**
     * Fields as this version has them.
     *
     * @param version an earlier one, in which {@code fields} were written
     */
    default Json.Fields upcast(int version, Json.Fields fields) {
        return fields;
    }

    /**
     * An entry of this kind, to be proposed.
     *
     * @param words the sentence by which it is told, such as "paper store: 48 %RH"
     * @param fields at most 40,000 characters as JSON, at most 20 deep
     */
    default Answer.Proposal says(String words, Json.Fields fields) {
        return new Answer.Proposal(
                "plugin." + type(), version(), fields, words, java.util.List.of(), java.util.OptionalLong.empty());
    }

    /**
     * The stored name of a type.
     *
     * @throws BadInput when it is not of the form "prefix.what-happened"
     */
    static String stored(String type) {
        if (!TYPE.matcher(type).matches()) {
            throw new BadInput(
                    "type of an event", type, "write the plugin's prefix, a dot and what happened: paper-store.read");
        }
        return "plugin." + type;
    }

    /** A decimal for a field, so that no digit is lost. */
    static Json decimal(double value) {
        return new Json.Number(BigDecimal.valueOf(value));
    }
}
