package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.edition.Edition;
import slabside.edition.Run;
import slabside.edition.Stone;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.Rebuilt;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Rebuild;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Timeline;
import slabside.views.Told;

/** A mix, can, packet, run or anything else: what it is, what is in it, where that came from and went, its story. */
final class ThingPage {
    private static final int MOST_INKS = 12;
    private static final Set<String> VESSELS = Set.of("mix", "packet", "load", "can");
    private static final Set<String> STONES = Set.of("stone", "plate");
    private static final int STORY = 15;

    private final Desk desk;

    ThingPage(Desk desk) {
        this.desk = desk;
    }

    /** A step of a mix as it was made. */
    public record Step(long pos, String event, String when, String what, String grams, String total, boolean out) {}

    /**
     * @param strip what is in it, as SVG; empty when nothing is
     * @param flow where it came from and went, as SVG; empty when nothing moved
     * @param facts name and value, in order
     * @param moments at which a mix may be rebuilt
     */
    public record Shown(
            Frame frame,
            Thing thing,
            String name,
            boolean vessel,
            List<Desk.Piece> facts,
            String strip,
            String stripCaption,
            List<Answer.Swatch> looks,
            List<List<String>> shares,
            List<String> gaps,
            String at,
            String after,
            List<Step> steps,
            String flow,
            List<Desk.Line> tests,
            Optional<Answer> comparison,
            Optional<Answer.Table> pulls,
            List<Desk.Piece> parts,
            List<Desk.Piece> writes,
            List<Desk.Line> story) {}

    Shown page(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Thing thing = desk.thing(id);
        boolean vessel = VESSELS.contains(thing.kind());
        Optional<Rebuild.Moment> asked = Moments.asked(desk, Desk.first(query, "at"), Desk.first(query, "after"));
        String known = Desk.first(query, "known");
        Contents contents = contents(thing, asked, known);
        String name = desk.studio.name(thing.id());
        List<Step> steps = vessel ? steps(thing) : List.of();
        return new Shown(
                desk.frame(name, section(thing)),
                thing,
                name,
                vessel,
                facts(thing, contents),
                contents.isEmpty() || !vessel ? "" : Pictures.strip(desk.answers.strip(contents)),
                caption(thing, asked, known),
                looks(thing, contents, asked.isPresent() || !known.isEmpty()),
                vessel ? shares(contents) : List.of(),
                vessel ? contents.gaps() : List.of(),
                Desk.first(query, "at"),
                Desk.first(query, "after"),
                steps,
                vessel && !steps.isEmpty() ? flow(thing) : "",
                tests(thing),
                comparison(thing, contents),
                thing.kind().equals("run") ? desk.studio.runs().run(thing.id()).map(this::pulls) : Optional.empty(),
                parts(thing),
                EventForm.about(thing),
                desk.studio.views().timeline(Timeline.Filter.newest(STORY).about(thing.id())).events().stream()
                        .map(told -> desk.line(told, false, false))
                        .toList());
    }

    /** How the ink looks on paper; of a run each of its mixes. At another moment than usual nothing is shown. */
    private List<Answer.Swatch> looks(Thing thing, Contents contents, boolean then) {
        List<ThingId> inks = thing.kind().equals("run")
                ? desk.studio.views().thingsOf("mix", thing.id(), MOST_INKS).stream()
                        .map(Thing::id)
                        .toList()
                : VESSELS.contains(thing.kind()) && !contents.isEmpty() && !then ? List.of(thing.id()) : List.of();
        Map<ThingId, Answer.Swatch> looks = new Looks(desk).of(inks);
        return inks.stream().filter(looks::containsKey).map(looks::get).toList();
    }

    private static String section(Thing thing) {
        return Set.of("can", "packet", "material").contains(thing.kind())
                ? "shelf"
                : STONES.contains(thing.kind()) ? "stones" : thing.kind().equals("sheet") ? "editions" : "timeline";
    }

    /** What is in it at the moment asked for; else now, or as agreed for a mix that was emptied since. */
    private Contents contents(Thing thing, Optional<Rebuild.Moment> asked, String known) {
        Ledger ledger = known.isEmpty()
                ? desk.studio.ledger()
                : desk.studio.runs().ledger(desk.studio.views().asKnown(desk.moment("known", known, Long.MAX_VALUE)));
        if (asked.isPresent()) {
            return ledger.at(thing.id(), asked.get().key());
        }
        Contents now = ledger.now(thing.id());
        return now.isEmpty() && VESSELS.contains(thing.kind())
                ? ledger.at(
                        thing.id(),
                        Rebuild.usual(desk.studio.views(), thing.id()).key())
                : now;
    }

    private String caption(Thing thing, Optional<Rebuild.Moment> asked, String known) {
        String when = asked.map(Rebuild.Moment::words)
                .orElseGet(() -> desk.studio.ledger().now(thing.id()).isEmpty()
                        ? Rebuild.usual(desk.studio.views(), thing.id()).words()
                        : "As it is now.");
        return known.isEmpty() ? when : when + " As the log was known at the end of " + known.replace('T', ' ') + ".";
    }

    private List<Desk.Piece> facts(Thing thing, Contents contents) {
        List<Desk.Piece> facts = new ArrayList<>();
        facts.add(new Desk.Piece(thing.kind(), ""));
        if (!thing.of().isEmpty()) {
            facts.add(new Desk.Piece(
                    (thing.kind().equals("can") ? "of " : "for ") + desk.studio.name(new ThingId(thing.of())),
                    "/thing/" + thing.of()));
        }
        if (thing.kind().equals("paper")) {
            facts.addAll(paper(thing.id()));
        }
        if (thing.kind().equals("sheet") && isOfEdition(thing)) {
            facts.addAll(sheet(desk.edition(thing.of()), thing.id()));
        }
        if (STONES.contains(thing.kind())) {
            Stone stone = desk.studio.runs().matrix(thing.id());
            stone.listed()
                    .map(desk::facts)
                    .filter(text -> !text.isEmpty())
                    .ifPresent(text -> facts.add(new Desk.Piece(text, "")));
            facts.add(new Desk.Piece(desk.state(stone), ""));
            desk.holds(stone).forEach(facts::add);
        }
        if (VESSELS.contains(thing.kind())) {
            Ledger.Left left = desk.studio.ledger().left(thing.id());
            facts.add(new Desk.Piece(
                    left.grams()
                            .map(g -> Drawn.number(g.value(), g.u()) + " g left")
                            .orElse("how much is left is not known"),
                    ""));
            if (left.overdrawn()) {
                facts.add(new Desk.Piece("more was taken out than was put in", ""));
            }
        }
        if (thing.kind().equals("run") || thing.kind().equals("mix")) {
            facts.add(new Desk.Piece("Side by side with another", "/calculators/compare?one=" + thing.id()));
        }
        if (thing.kind().equals("run")) {
            facts.add(new Desk.Piece("What went wrong?", "/calculators/what-went-wrong?run=" + thing.id()));
            desk.studio
                    .ledger()
                    .perPull(thing.id())
                    .ifPresent(rate -> facts.add(new Desk.Piece(
                            Drawn.number(rate.grams().value(), rate.grams().u()) + " g a pull"
                                    + (rate.learned() ? "" : " (estimated)"),
                            "")));
            desk.studio
                    .runs()
                    .run(thing.id())
                    .ifPresent(run -> facts.add(new Desk.Piece(
                            run.printed() + " sheets printed, " + run.graded(slabside.event.PressGrade.GOOD) + " good; "
                                    + run.beforeTheEdition() + " newsprint pulls and proofs",
                            "")));
        }
        if (VESSELS.contains(thing.kind()) && !contents.isEmpty()) {
            desk.studio
                    .ledger()
                    .cost(contents)
                    .byCurrency()
                    .forEach((currency, sum) -> facts.add(new Desk.Piece(
                            "worth " + Drawn.fixed(sum.value(), 2) + " " + currency + " at the price of its cans",
                            "")));
        }
        return facts;
    }

    private List<List<String>> shares(Contents contents) {
        return contents.byMaterial(desk.studio.ledger()::material).stream()
                .map(part -> List.of(
                        desk.studio.name(part.id()),
                        Drawn.fixed(part.share().value() * 100, 3),
                        Drawn.fixed(part.share().expanded() * 100, 3),
                        Drawn.fixed(part.grams().value(), 2)))
                .toList();
    }

    private List<Step> steps(Thing thing) {
        List<Step> steps = new ArrayList<>();
        double total = 0;
        for (Ledger.Step step : desk.studio.ledger().steps(thing.id())) {
            boolean out = step.from().equals(thing.id());
            double grams = step.grams().map(Uncertain::value).orElse(0.0);
            total += out ? -grams : grams;
            String words = step.told().event() instanceof InkEvent.Moved moved && moved.words() != null
                    ? ": " + moved.words()
                    : "";
            String why = step.told().event() instanceof InkEvent.Moved moved
                    ? EventCodec.word(moved.why()).replace('-', ' ')
                    : "received";
            String other = desk.studio.name(out ? step.to() : step.from());
            steps.add(new Step(
                    step.told().pos(),
                    step.told().id().text(),
                    desk.answers.when(step.told()),
                    why + (out ? " → " : " ← ") + other + words,
                    (out ? "−" : "+")
                            + step.grams().map(g -> Drawn.fixed(g.value(), 2)).orElse("?"),
                    Drawn.fixed(Math.abs(total) < 0.0005 ? 0 : total, 2),
                    out));
        }
        return steps;
    }

    private String flow(Thing thing) {
        List<Ledger.Arrow> arrows = new ArrayList<>(desk.studio.ledger().origins(thing.id()));
        Map<ThingId, Double> out = new LinkedHashMap<>();
        for (Ledger.Step step : desk.studio.ledger().steps(thing.id())) {
            if (step.from().equals(thing.id())) {
                out.merge(step.to(), step.grams().map(Uncertain::value).orElse(0.0), Double::sum);
            }
        }
        if (thing.kind().equals("load")) {
            desk.studio
                    .ledger()
                    .balance(List.of(thing.id()))
                    .forEach((to, grams) -> out.putIfAbsent(to, grams.value()));
            out.remove(thing.id());
        }
        out.forEach((to, grams) -> arrows.add(new Ledger.Arrow(thing.id(), to, grams)));
        return Pictures.flow(arrows, thing.id(), id -> id.text().startsWith("paper:") ? "paper" : desk.studio.name(id));
    }

    private List<Desk.Line> tests(Thing thing) {
        return desk.studio.views().of(thing.id(), Set.of(Role.NOTED), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof TestEvent)
                .map(told -> desk.line(told, false, false))
                .toList();
    }

    /** A mix that was made as a rebuild is shown beside the old one. */
    private Optional<Answer> comparison(Thing thing, Contents contents) {
        if (contents.isEmpty()) {
            return Optional.empty();
        }
        return started(thing)
                .map(InkEvent.MixStarted::rebuilds)
                .map(old -> desk.answers.comparison(desk.studio.ledger().at(old.mix(), momentOf(old)), contents));
    }

    private StoryKey momentOf(Rebuilt old) {
        return Optional.ofNullable(old.after())
                .flatMap(id -> desk.studio.views().told(id))
                .map(Told::key)
                .orElse(StoryKey.LAST);
    }

    private Optional<InkEvent.MixStarted> started(Thing thing) {
        return desk.studio.views().of(thing.id(), Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.MixStarted)
                .map(told -> (InkEvent.MixStarted) told.event())
                .findFirst();
    }

    /** Whether its edition is in this log and was not taken back. */
    private boolean isOfEdition(Thing thing) {
        return !thing.of().isEmpty()
                && desk.studio
                        .views()
                        .thing(new ThingId(thing.of()))
                        .filter(of -> of.kind().equals("edition"))
                        .isPresent();
    }

    /** What came in of a paper, how many sheets were torn from it and how it was conditioned last. */
    private List<Desk.Piece> paper(ThingId lot) {
        List<Desk.Piece> facts = new ArrayList<>();
        int torn = 0;
        String conditioned = "";
        for (Told told : desk.studio.views().of(lot, Set.of(Role.DEFINES, Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Received received && received.sheets() != null) {
                facts.add(new Desk.Piece(received.sheets() + " sheets came in", ""));
            } else if (told.event() instanceof PaperEvent.Torn each) {
                torn += Boolean.TRUE.equals(each.afterPrinting())
                        ? 0
                        : each.sheets().size();
            } else if (told.event() instanceof PaperEvent.Conditioned each) {
                conditioned = (each.words() == null ? "conditioned" : each.words()) + " " + desk.answers.when(told);
            }
        }
        facts.add(new Desk.Piece("torn into " + torn + " sheets so far", ""));
        if (!conditioned.isEmpty()) {
            facts.add(new Desk.Piece(conditioned, ""));
        }
        return facts;
    }

    /** What a sheet became and what it went through. */
    private List<Desk.Piece> sheet(Edition edition, ThingId sheet) {
        List<Desk.Piece> facts = new ArrayList<>();
        Optional.ofNullable(edition.register().impressions().get(sheet)).ifPresent(impression -> {
            facts.add(new Desk.Piece(impression.written(), ""));
            facts.add(new Desk.Piece(desk.whereabouts(impression), ""));
            impression
                    .after()
                    .signed()
                    .ifPresent(told ->
                            facts.add(new Desk.Piece("signed " + desk.answers.when(told), "/event/" + told.pos())));
        });
        for (Edition.Passage passage : edition.passages(sheet)) {
            Run.Pull pull = passage.pull();
            facts.add(new Desk.Piece(
                    "run " + passage.run().order() + ", "
                            + (pull.number() > 0
                                    ? "pull " + pull.number()
                                    : EventCodec.word(pull.event().mode()))
                            + (passage.run().batches() > 1 ? " in batch " + pull.batch() : "") + ", "
                            + desk.answers.when(pull.told())
                            + (pull.event().faults().isEmpty()
                                    ? ""
                                    : ": " + String.join(", ", pull.event().faults())),
                    "/event/" + pull.told().pos()));
        }
        return facts;
    }

    /** Every pull, with the ink on the load where its shares change during the run. */
    private Answer.Table pulls(Run run) {
        Map<Run.Pull, List<Contents>> at = desk.studio.runs().loadsAtEach(run);
        List<List<Contents>> loads = run.pulls().stream()
                .map(pull -> at.getOrDefault(pull, List.of()))
                .toList();
        int most = loads.stream().mapToInt(List::size).max().orElse(0);
        List<ThingId> moving =
                most == 1 ? moving(loads.stream().flatMap(List::stream).toList()) : List.of();
        List<String> headings = new ArrayList<>(List.of("pull", "sheet", "passes", "grade", "faults"));
        for (int i = 0; i < most; i++) {
            headings.add(most == 1 ? "on the load g" : "load " + (i + 1) + " g");
        }
        moving.forEach(material -> headings.add(desk.studio.name(material) + " %"));
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < run.pulls().size(); i++) {
            Run.Pull pull = run.pulls().get(i);
            List<String> row = new ArrayList<>(List.of(
                    pull.number() > 0
                            ? Integer.toString(pull.number())
                            : EventCodec.word(pull.event().mode()),
                    pull.sheet() == null ? "" : desk.studio.name(pull.sheet()),
                    pull.event().passes() == null ? "" : pull.event().passes().toString(),
                    EventCodec.word(pull.event().grade()),
                    String.join(", ", pull.event().faults())));
            for (int side = 0; side < most; side++) {
                row.add(
                        side < loads.get(i).size()
                                ? Drawn.fixed(loads.get(i).get(side).grams().value(), 1)
                                : "");
            }
            for (ThingId material : moving) {
                row.add(
                        loads.get(i).isEmpty()
                                ? ""
                                : Drawn.fixed(share(loads.get(i).get(0), material) * 100, 2));
            }
            rows.add(row);
        }
        return new Answer.Table(moving.isEmpty() ? "Pulls" : "Pulls, with what changed on the load", headings, rows);
    }

    private double share(Contents contents, ThingId material) {
        return contents.byMaterial(desk.studio.ledger()::material).stream()
                .filter(part -> part.id().equals(material))
                .mapToDouble(part -> part.share().value())
                .sum();
    }

    /** Materials whose share on the load changes by a tenth of itself or more during the run. */
    private List<ThingId> moving(List<Contents> load) {
        Map<ThingId, double[]> range = new LinkedHashMap<>();
        for (Contents contents : load) {
            contents.byMaterial(desk.studio.ledger()::material).forEach(part -> {
                double[] seen = range.computeIfAbsent(part.id(), m -> new double[] {1, 0});
                seen[0] = Math.min(seen[0], part.share().value());
                seen[1] = Math.max(seen[1], part.share().value());
            });
        }
        return range.entrySet().stream()
                .filter(e -> e.getValue()[1] > 1.1 * e.getValue()[0])
                .map(Map.Entry::getKey)
                .toList();
    }

    /** Runs of an edition, mixes and loads of a run, cans of a material. */
    private List<Desk.Piece> parts(Thing thing) {
        List<Desk.Piece> parts = new ArrayList<>();
        for (String kind : List.of("run", "mix", "load", "can")) {
            List<Thing> found = new ArrayList<>(desk.studio.views().thingsOf(kind, thing.id(), 200));
            java.util.Collections.reverse(found);
            found.forEach(part -> parts.add(new Desk.Piece(desk.studio.name(part.id()), "/thing/" + part.id())));
        }
        if (thing.kind().equals("sheet") && isOfEdition(thing)) {
            for (Edition.Passage passage : desk.edition(thing.of()).passages(thing.id())) {
                for (Load load : passage.pull().loading()) {
                    parts.add(new Desk.Piece(
                            "ink of " + desk.studio.name(passage.run().id())
                                    + (load.name().isEmpty() ? "" : ", " + load.name()),
                            "/thing/" + load.load() + "?after="
                                    + passage.pull().told().id()));
                }
            }
        }
        return parts;
    }

    /**
     * An answer on a page of its own.
     *
     * @param more where it goes on, such as to the whole lot
     */
    public record Answered(Frame frame, Answer answer, String back, List<Desk.Piece> more) {}

    /** Of a can, and when asked of every can of its lot. */
    Answered trace(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Thing thing = desk.thing(id);
        List<ThingId> lot = thing.kind().equals("can")
                ? desk.studio.views().exactly("can", thing.name()).stream()
                        .filter(can -> can.of().equals(thing.of()) && can.name().equals(thing.name()))
                        .map(Thing::id)
                        .toList()
                : List.of(thing.id());
        boolean whole = lot.size() > 1 && !Desk.first(query, "lot").isEmpty();
        return new Answered(
                desk.frame("Trace of " + desk.studio.name(thing.id()), "timeline"),
                whole
                        ? desk.answers.trace("lot " + thing.name() + ", " + lot.size() + " cans", lot)
                        : desk.answers.trace(thing.id()),
                "/thing/" + id,
                lot.size() > 1 && !whole
                        ? List.of(new Desk.Piece(
                                "All " + lot.size() + " cans of lot " + thing.name(),
                                "/thing/" + id + "/trace?lot=all"))
                        : List.of());
    }

    Answered weighings(String id) {
        desk.studio.views().catchUp();
        Thing thing = desk.thing(id);
        return new Answered(
                desk.frame("Weighings of " + desk.studio.name(thing.id()), "timeline"),
                desk.answers.agreement(thing.id()),
                "/thing/" + id,
                List.of());
    }
}
