package slabside.event;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Every kind of event with its stored name, its version and the sentence it is told in. Names and versions never change:
 * a frozen line of each stands in the tests.
 *
 * <p>In a sentence, {@code {field}} is the value of a component and {@code [ … ]} is left out when a value in it is
 * missing.
 */
public final class Catalogue {
    /** One row of the catalogue. */
    public record Entry(String type, int version, Class<? extends StudioEvent> event, String sentence) {}

    private static final Map<String, Entry> BY_TYPE = new LinkedHashMap<>();
    private static final Map<Class<?>, Entry> BY_CLASS = new LinkedHashMap<>();

    static {
        entry(
                "shelf.material-listed",
                1,
                ShelfEvent.MaterialListed.class,
                "listed the material {name} ({role})[, pigment {pigment}]");
        entry(
                "shelf.can-received",
                1,
                ShelfEvent.CanReceived.class,
                "received {can}: {net} of {material}[, lot {lot}][, {price}]");
        entry("shelf.can-opened", 1, ShelfEvent.CanOpened.class, "opened {can}[: {words}]");
        entry("shelf.vessel-weighed", 1, ShelfEvent.VesselWeighed.class, "weighed {vessel}: {entered}");
        entry("shelf.vessel-inspected", 1, ShelfEvent.VesselInspected.class, "looked at {vessel}: {found}[ ({words})]");
        entry("shelf.can-finished", 1, ShelfEvent.CanFinished.class, "finished {can}[: {words}]");
        entry(
                "shelf.tool-listed",
                1,
                ShelfEvent.ToolListed.class,
                "listed the {kind} {name}[, {diameterUm} ⌀][, {widthUm} wide][, {cover}]");
        entry("shelf.tool-cleaned", 1, ShelfEvent.ToolCleaned.class, "cleaned {tool}[: {words}]");
        entry(
                "shelf.scale-checked",
                1,
                ShelfEvent.ScaleChecked.class,
                "checked {scale}: a standard of {standardMg} read {readingMg}");
        entry(
                "ink.mix-started",
                1,
                InkEvent.MixStarted.class,
                "started the mix {mix}[ for {run}][ after the recipe {recipe}]");
        entry("ink.moved", 1, InkEvent.Moved.class, "{why}: {amount} of {from} into {to}[ ({words})]");
        entry("ink.worked", 1, InkEvent.Worked.class, "worked {vessel} for {durationMs}[: {words}]");
        entry("ink.wrapped", 1, InkEvent.Wrapped.class, "wrapped {packet}[, kept in {place}][: {words}]");
        entry("ink.unwrapped", 1, InkEvent.Unwrapped.class, "unwrapped {packet}[: {words}]");
        entry("ink.named", 1, InkEvent.Named.class, "named {thing} \"{name}\"");
        entry(
                "ink.recipe-planned",
                1,
                InkEvent.RecipePlanned.class,
                "planned the recipe {name}[ from {from}][, {batchMg}]");
        entry(
                "test.compared",
                1,
                TestEvent.Compared.class,
                "tried {vessel} against {against}:[ {stiffness}][ {length}][ ({words})]");
        entry(
                "test.spread-measured",
                1,
                TestEvent.SpreadMeasured.class,
                "measured the spread of {vessel}: {readings}[ at {celsius} °C]");
        entry(
                "test.ridge-observed",
                1,
                TestEvent.RidgeObserved.class,
                "drew a ridge of {vessel}, {heightUm} high: stands {stands}[ ({words})]");
        entry(
                "test.string-measured",
                1,
                TestEvent.StringMeasured.class,
                "pulled strings of {vessel}: {lengthsUm}[ ({words})]");
        entry("test.tack-judged", 1, TestEvent.TackJudged.class, "judged the tack of {vessel}: {tack}[ ({words})]");
        entry(
                "test.drawdown-made",
                1,
                TestEvent.DrawdownMade.class,
                "made a drawdown of {vessel}[ on {paper}][ over {backing}][ ({words})]");
        entry(
                "test.colour-read",
                2,
                TestEvent.ColourRead.class,
                "read the colour of {of}[ over {over}][, sheet {sheet}][: {lab}][, density {density}][, {hoursDry} h dry]");
        entry(
                "test.colour-agreed",
                1,
                TestEvent.ColourAgreed.class,
                "agreed the colour of {vessel}[ by {by}][ against {against}][, {wetness}][, in {light}][: {words}]");
        entry(
                "test.dryness-judged",
                1,
                TestEvent.DrynessJudged.class,
                "judged how dry {of} is[, sheet {sheet}]: {dryness}[ ({words})]");
        entry(
                "test.strength-judged",
                1,
                TestEvent.StrengthJudged.class,
                "judged {lot} against {against}: {percent} % as strong[ ({words})]");
        entry("stone.listed", 1, StoneEvent.Listed.class, "listed the {kind} {number}[, {grade}][, kept in {place}]");
        entry(
                "stone.treated",
                1,
                StoneEvent.Treated.class,
                "{stone}: {treatment}[, {part}][ ({words})][, from {from}]");
        entry("stone.inspected", 1, StoneEvent.Inspected.class, "looked at {stone}: {words}");
        entry(
                "stone.disposed",
                1,
                StoneEvent.Disposed.class,
                "{stone}: {end}[ ({method})][, witness {witness}][, cancellation impression: {cancellation}]");
        entry(
                "paper.received",
                1,
                PaperEvent.Received.class,
                "received paper {name}[, {sheets} sheets][, {gramsPerM2} g/m²]");
        entry("paper.torn", 1, PaperEvent.Torn.class, "tore {lot} to {sheets}[ for {edition}]");
        entry("paper.conditioned", 1, PaperEvent.Conditioned.class, "conditioned {lot}[: {words}]");
        entry("paper.laid-on", 1, PaperEvent.LaidOn.class, "laid {lot} on {sheets}[ with {paste}][ in {run}]");
        entry("paper.spoiled", 1, PaperEvent.Spoiled.class, "spoiled {sheets}[: {words}]");
        entry(
                "edition.planned",
                1,
                EditionEvent.Planned.class,
                "planned the edition {title}[ by {artist}][, {number} numbered][: {words}]");
        entry(
                "edition.run-planned",
                1,
                EditionEvent.RunPlanned.class,
                "planned run {order} of {edition}[, {surface}][, from {stone}]");
        entry(
                "edition.ok-signed",
                1,
                EditionEvent.OkSigned.class,
                "signed {sheet} as the OK proof of {edition}[, by {by}][: {words}]");
        entry("edition.curated", 1, EditionEvent.Curated.class, "curated {sheet}: {grade}[ ({words})]");
        entry("edition.numbered", 1, EditionEvent.Numbered.class, "numbered {sheet}: {kind}[ {number}][/{of}]");
        entry("edition.signed", 1, EditionEvent.Signed.class, "{by} signed {sheets}[ {where}][ in {medium}]");
        entry("edition.chopped", 1, EditionEvent.Chopped.class, "chopped {sheets}: {chop}");
        entry("edition.finished", 1, EditionEvent.Finished.class, "finished {sheets}: {words}");
        entry("edition.released", 1, EditionEvent.Released.class, "released {sheets}[ to {to}][: {words}]");
        entry("edition.returned", 1, EditionEvent.Returned.class, "{sheets} came back[ from {from}][: {words}]");
        entry(
                "edition.destroyed",
                1,
                EditionEvent.Destroyed.class,
                "destroyed {sheets}[, witness {witness}][: {words}]");
        entry("edition.stated", 1, EditionEvent.Stated.class, "{fact} of {edition}: {words}");
        entry(
                "edition.time-stated",
                1,
                EditionEvent.TimeStated.class,
                "{stage} for {edition} took {durationMs}[ with {hands} people][: {words}]");
        entry("edition.closed", 1, EditionEvent.Closed.class, "closed {edition}[: {words}]");
        entry(
                "press.run-started",
                1,
                PressEvent.RunStarted.class,
                "started {run}[, {surface}][ with {roller}][: {words}]");
        entry(
                "press.pulled",
                1,
                PressEvent.Pulled.class,
                "{mode} pull[ of sheet {sheet}][, second hit {secondHit}], {grade}[, {passes} passes][: {faults}]");
        entry(
                "press.noted",
                1,
                PressEvent.Noted.class,
                "noted at {run}:[ water {water}][ {celsius} °C][ {humidity} %RH][ packing {packing}][ pressure {pressure}][ roller {roller}][ {words}]");
        entry(
                "press.matched",
                1,
                PressEvent.Matched.class,
                "compared[ sheet {sheet}] with the OK proof:[ {match}][ margin {margin}]");
        entry(
                "press.measured",
                1,
                PressEvent.Measured.class,
                "measured[ sheet {sheet}] {quantity}: {value}[ {unit}][ at {place}]");
        entry("press.lay-set", 1, PressEvent.LaySet.class, "set the lay of {run}: {words}");
        entry("press.hands-changed", 1, PressEvent.HandsChanged.class, "hands changed at {run}: {people}[ ({words})]");
        entry("press.paused", 1, PressEvent.Paused.class, "paused {run}[, gummed up: {gummedUp}][ ({words})]");
        entry("press.resumed", 1, PressEvent.Resumed.class, "resumed {run}[: {words}]");
        entry("press.racked", 1, PressEvent.Racked.class, "racked the sheets of {run}[: {words}]");
        entry(
                "press.stacked",
                1,
                PressEvent.Stacked.class,
                "stacked the sheets of {run}[, interleaved: {interleaved}][ ({words})]");
        entry("press.unstacked", 1, PressEvent.Unstacked.class, "unstacked the sheets of {run}[: {words}]");
        entry("press.cleaned-up", 1, PressEvent.CleanedUp.class, "cleaned up after {run}[: {words}]");
        entry("log.amended", 1, LogEvent.Amended.class, "put a record right[: {reason}]");
        entry("log.voided", 1, LogEvent.Voided.class, "took a record back[: {reason}]");
        entry("log.annotated", 1, LogEvent.Annotated.class, "noted[ on {thing}]: {words}");
        entry("log.answer-kept", 1, LogEvent.AnswerKept.class, "kept an answer[ on {thing}]: {title}: {summary}");
        entry("log.attached", 1, LogEvent.Attached.class, "attached {mediaType}[ to {thing}][: {name}]");
        entry(
                "log.forgotten",
                1,
                LogEvent.Forgotten.class,
                "took out for good[ the name of {person}][ the file {sha256}][: {reason}]");
        entry("log.same-thing", 1, LogEvent.SameThing.class, "{other} is the same as {keep}");
        entry("log.device-named", 1, LogEvent.DeviceNamed.class, "named the device {device} \"{name}\"");
        entry("log.epoch-begun", 1, LogEvent.EpochBegun.class, "began a new chain: {why}");
        entry("log.warned", 1, LogEvent.Warned.class, "warned by the rule {rule}, confirmed {confirmed}");
    }

    private Catalogue() {}

    public static Iterable<Entry> all() {
        return BY_TYPE.values();
    }

    /** The row of a stored name; empty for a type that this version does not know. */
    public static Optional<Entry> of(String type) {
        return Optional.ofNullable(BY_TYPE.get(type));
    }

    /** The row of an event of this catalogue. */
    public static Entry of(StudioEvent event) {
        Entry entry = BY_CLASS.get(event.getClass());
        if (entry == null) {
            throw new IllegalArgumentException(event.getClass().getSimpleName() + " is not in the catalogue");
        }
        return entry;
    }

    /** The stored name of any event. */
    public static String type(StudioEvent event) {
        if (event instanceof UnknownEvent unknown) {
            return unknown.type();
        }
        return event instanceof PluginEvent own ? own.type() : of(event).type();
    }

    /** The version in which any event is stored. */
    public static int version(StudioEvent event) {
        if (event instanceof UnknownEvent unknown) {
            return unknown.version();
        }
        return event instanceof PluginEvent own ? own.version() : of(event).version();
    }

    private static void entry(String type, int version, Class<? extends StudioEvent> event, String sentence) {
        Entry entry = new Entry(type, version, event, sentence);
        BY_TYPE.put(type, entry);
        BY_CLASS.put(event, entry);
    }
}
