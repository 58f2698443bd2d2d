package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import slabside.edition.Edition;
import slabside.edition.OkProof;
import slabside.event.EditionEvent;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Contents;

/** The OK proof of an edition, run by run, and what changed since, in words. */
final class OkWords {
    /** A smaller difference of shares is not worth a line. */
    private static final double NOTICED = 0.001;

    private final Desk desk;

    OkWords(Desk desk) {
        this.desk = desk;
    }

    /**
     * The OK proof in one run.
     *
     * @param inks where each of them can be made again
     * @param strips the ink on each load then, as SVG
     * @param more stone, conditions, readings
     * @param since what became of the run after it
     */
    public record OkRun(
            String name, List<Desk.Piece> inks, List<String> strips, List<String> more, List<String> since) {}

    /** The OK proof. */
    public record Ok(String said, Desk.Piece sheet, List<OkRun> runs) {}

    /** The OK proof; empty when none is signed. */
    Optional<Ok> of(Edition edition) {
        return desk.studio.runs().okProof(edition.id()).map(ok -> {
            EditionEvent.OkSigned event = (EditionEvent.OkSigned) ok.signed().event();
            Optional<OkProof> then = desk.studio.runs().okProofAsSigned(edition.id());
            List<OkProof.Since> since = desk.studio.runs().sinceOk(ok);
            List<OkRun> runs = new ArrayList<>();
            for (int i = 0; i < ok.standards().size(); i++) {
                runs.add(okRun(ok.standards().get(i), since.get(i), then));
            }
            return new Ok(
                    "Signed " + desk.answers.when(ok.signed())
                            + (event.by() == null ? "" : " by " + desk.studio.name(event.by()))
                            + (event.words() == null ? "" : ": “" + event.words() + "”")
                            + ok.paper()
                                    .map(paper -> ". On " + desk.studio.name(paper))
                                    .orElse("")
                            + ".",
                    new Desk.Piece(edition.code(ok.sheet()), "/thing/" + ok.sheet()),
                    runs);
        });
    }

    private OkRun okRun(OkProof.Standard ok, OkProof.Since since, Optional<OkProof> then) {
        List<String> more = new ArrayList<>();
        ok.stone()
                .ifPresent(stone -> more.add(desk.studio.name(stone)
                        + ok.state()
                                .map(told -> ", last " + desk.treatment(told) + " " + desk.answers.when(told))
                                .orElse("")));
        if (!ok.conditions().isEmpty()) {
            more.add(ok.conditions().entrySet().stream()
                    .map(each -> each.getKey() + " " + each.getValue())
                    .collect(Collectors.joining(" · ")));
        }
        ok.readings()
                .forEach(told -> more.add(desk.line(told, false, false).sentence().stream()
                        .map(Desk.Piece::text)
                        .collect(Collectors.joining())));
        return new OkRun(
                desk.studio
                        .views()
                        .thing(ok.run().id())
                        .map(thing -> thing.shown())
                        .orElse(""),
                ok.pull().loading().stream()
                        .map(load -> new Desk.Piece(
                                "Make this ink again" + (load.name().isEmpty() ? "" : ": " + load.name()),
                                "/thing/" + load.load() + "?after="
                                        + ok.pull().told().id()))
                        .toList(),
                ok.ink().stream()
                        .filter(ink -> !ink.isEmpty())
                        .map(ink -> Pictures.strip(desk.answers.strip(ink)))
                        .toList(),
                more,
                since(ok, since, then));
    }

    private List<String> since(OkProof.Standard ok, OkProof.Since since, Optional<OkProof> then) {
        List<String> lines = new ArrayList<>();
        then.flatMap(signed -> signed.standards().stream()
                        .filter(each -> each.run().id().equals(ok.run().id()))
                        .findFirst())
                .ifPresentOrElse(
                        signed -> lines.addAll(corrected(signed.ink(), ok.ink())),
                        () -> lines.add("Written down only after it was signed."));
        if (!since.printed()) {
            lines.add("The edition was not printed yet.");
            return lines;
        }
        List<ThingId> others =
                since.mixes().stream().filter(mix -> !ok.mixes().contains(mix)).toList();
        if (!others.isEmpty()) {
            lines.add("Edition ink: "
                    + others.stream()
                            .map(mix -> desk.studio.name(mix)
                                    + (since.remade().contains(mix) ? ", made again from the proof's" : ""))
                            .collect(Collectors.joining("; ")));
        }
        since.farthest()
                .ifPresentOrElse(
                        farthest -> lines.add(
                                Math.abs(farthest.here() - farthest.ok()) < NOTICED
                                        ? "Its ink stayed the OK proof's in every pull."
                                        : "Farthest from it at pull "
                                                + farthest.pull().number() + ": "
                                                + desk.studio.name(farthest.material()) + " " + percent(farthest.ok())
                                                + " → "
                                                + percent(farthest.here())),
                        () -> lines.add("Which ink was on the slab is not written down for both."));
        since.changes()
                .forEach(told -> lines.add("Changed " + desk.answers.when(told) + ": "
                        + desk.line(told, false, false).sentence().stream()
                                .map(Desk.Piece::text)
                                .collect(Collectors.joining())));
        return lines;
    }

    private static String percent(double share) {
        return Drawn.fixed(share * 100, 1) + " %";
    }

    /** Where the ink reads otherwise now than it did when it was signed. */
    private List<String> corrected(List<Contents> then, List<Contents> now) {
        List<String> lines = new ArrayList<>();
        for (int side = 0; side < Math.min(then.size(), now.size()); side++) {
            Map<ThingId, double[]> shares = new LinkedHashMap<>();
            then.get(side)
                    .byMaterial(desk.studio.ledger()::material)
                    .forEach(part -> shares.computeIfAbsent(part.id(), id -> new double[2])[0] =
                            part.share().value());
            now.get(side)
                    .byMaterial(desk.studio.ledger()::material)
                    .forEach(part -> shares.computeIfAbsent(part.id(), id -> new double[2])[1] =
                            part.share().value());
            shares.forEach((material, share) -> {
                if (Math.abs(share[0] - share[1]) >= NOTICED) {
                    lines.add("Put right since it was signed: " + desk.studio.name(material) + " " + percent(share[0])
                            + " → " + percent(share[1]));
                }
            });
        }
        return lines;
    }
}
