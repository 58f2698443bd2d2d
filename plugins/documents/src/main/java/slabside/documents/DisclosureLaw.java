package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.plugin.StudioView;

/**
 * What a law on the sale of prints asks for, section by section, with the fields of the documentation that tell it. Field
 * lists, never the law's own words. Sources: Maryland Commercial Law 14-504 and Hawaii 481F-4 (1) to (6) as published by
 * those states; New York Arts and Cultural Affairs Law 15.03 (1) to (3) likewise, (4) to (6) from memory; California Civil
 * Code 1744 and Illinois 815 ILCS 345 from memory. Which law applies, and whether it is met, is for a lawyer.
 *
 * @param name of the law and section
 * @param items in its order
 */
record DisclosureLaw(String name, List<Item> items) {
    /**
     * @param section within the law
     * @param asks for what
     * @param told by these fields, as "heading/field"; a heading may end with {@code *} for each that begins so, a field may
     *     be {@code *} for every one under it
     */
    record Item(String section, String asks, List<String> told) {}

    private static final String EDITION = "The edition/";
    private static final String COUNT = "Impressions/";
    private static final String SIGNED = "Signature and chop/";
    private static final String ENDS = "What became of stones and plates/*";
    private static final String HISTORY = "Earlier and later/";

    private static final List<String> PROOFS = List.of(
            COUNT + "Artist's proofs",
            COUNT + "Printer's proofs",
            COUNT + "OK proofs",
            COUNT + "Presentation proofs",
            COUNT + "Hors commerce",
            COUNT + "Archive copies",
            COUNT + "Legal deposit copies");

    private static Item item(String section, String asks, String... told) {
        return new Item(section, asks, List.of(told));
    }

    private static Item proofs(String section, String asks) {
        return new Item(section, asks, PROOFS);
    }

    /** Every law that is known here, by what the choice is called. */
    static final Map<String, DisclosureLaw> KNOWN = new LinkedHashMap<>();

    private static void known(String called, String name, Item... items) {
        KNOWN.put(called, new DisclosureLaw(name, List.of(items)));
    }

    static {
        known(
                "Maryland",
                "Maryland Commercial Law 14-504",
                item("(a)(1)", "Year printed, and the artist", EDITION + "Year", EDITION + "Artist"),
                item("(a)(2)", "Whether it is a limited edition", COUNT + "Whether the edition is limited, and how"),
                item(
                        "(a)(2)(i)",
                        "Numbered or signed, at most",
                        COUNT + "Number declared",
                        SIGNED + "How many are signed"),
                item(
                        "(a)(2)(ii)",
                        "Not numbered or not signed, at most",
                        SIGNED + "Printed but not signed or numbered"),
                proofs("(a)(2)(iii)", "Proofs beside the edition, trial proofs left out"),
                item(
                        "(a)(2)(iv)",
                        "Total size",
                        COUNT + "Numbered impressions and proofs beside them, trial proofs left out"),
                item("(a)(3)", "What became of stone or plate", ENDS),
                item(
                        "(a)(4)",
                        "Earlier plates of the same image, and which this is from",
                        HISTORY + "Earlier states and editions of the image"),
                item(
                        "(a)(5)",
                        "Earlier and later editions from the same plate",
                        HISTORY + "Earlier states and editions of the image",
                        HISTORY + "Later editions of the image in this log"),
                item(
                        "(a)(6)",
                        "Posthumous or a restrike, and whether reworked",
                        HISTORY + "Posthumous or restrike",
                        HISTORY + "Reworked after an earlier edition"),
                item("(a)(7)", "Workshop", EDITION + "Workshop"));
        known(
                "Hawaii",
                "Hawaii Revised Statutes 481F-4",
                item("(1)(A)", "Artist", EDITION + "Artist"),
                item("(1)(B)", "Whether the image exists in another medium, and in which"),
                item(
                        "(1)(C)",
                        "Who made the image on stone or plate",
                        EDITION + "Who made the image on stone or plate",
                        EDITION + "Workshop"),
                item(
                        "(1)(D) to (F)",
                        "What the artist approved: stone or plate or proofs, techniques, the print",
                        EDITION + "Artist's approval",
                        EDITION + "OK proof signed"),
                item(
                        "(2)",
                        "Signature: by the artist, or how the name came onto the print",
                        SIGNED + "Signed by",
                        SIGNED + "Source of the signature"),
                item("(3)", "Year", EDITION + "Year"),
                item("(4)", "Process", EDITION + "Process"),
                item("(5)", "Whether it is a limited edition", COUNT + "Whether the edition is limited, and how"),
                item("(5)(A)", "Signed or numbered", COUNT + "Number declared", SIGNED + "How many are signed"),
                item("(5)(B)", "Not signed or not numbered", SIGNED + "Printed but not signed or numbered"),
                proofs("(5)(C)", "Proofs"),
                item("(5)(D)", "Hors commerce", COUNT + "Hors commerce"),
                item(
                        "(5)(E)",
                        "Total size",
                        COUNT + "Numbered impressions and proofs beside them, trial proofs left out"),
                item("(6)", "What became of stone or plate", ENDS),
                item(
                        "(7) and after, from memory",
                        "Earlier prints of the image, other editions, posthumous, restrike, reworked",
                        HISTORY + "*"));
        known(
                "New York",
                "New York Arts and Cultural Affairs Law 15.03",
                item("1", "Artist", EDITION + "Artist"),
                item(
                        "2",
                        "Signature: by the artist, or its source",
                        SIGNED + "Signed by",
                        SIGNED + "Source of the signature"),
                item(
                        "3",
                        "Medium or process; whether a photographic reproduction; whether the artist had died when the master was made",
                        EDITION + "Process",
                        EDITION + "Who made the image on stone or plate",
                        HISTORY + "Posthumous or restrike"),
                item(
                        "4, from memory",
                        "Use of the master: posthumous, restrike, earlier edition",
                        HISTORY + "Posthumous or restrike",
                        HISTORY + "Reworked after an earlier edition",
                        HISTORY + "Earlier states and editions of the image",
                        HISTORY + "Later editions of the image in this log"),
                item("5, from memory", "Year", EDITION + "Year", EDITION + "Printed from and to"),
                item(
                        "6, from memory",
                        "Size of a limited edition: numbered or signed, not numbered or signed, total",
                        COUNT + "Whether the edition is limited, and how",
                        COUNT + "Number declared",
                        SIGNED + "How many are signed",
                        SIGNED + "Printed but not signed or numbered",
                        COUNT + "Numbered impressions and proofs beside them, trial proofs left out"),
                proofs("6, from memory", "Proofs beside the edition, trial proofs left out"));
        known(
                "California",
                "California Civil Code 1744, under 1742 to 1744.9, from memory",
                item("(a)(1)", "Artist", EDITION + "Artist"),
                item(
                        "(a)(2)",
                        "Signature: by the artist, or its source",
                        SIGNED + "Signed by",
                        SIGNED + "Source of the signature"),
                item("(a)(3)", "Medium or process", EDITION + "Process"),
                item(
                        "(a)(4) and (5)",
                        "Whether a photomechanical reproduction, and whether the artist approved it",
                        EDITION + "Who made the image on stone or plate",
                        EDITION + "Artist's approval"),
                item(
                        "(a)(6) and (7)",
                        "Whether the artist had died when master or print was made",
                        HISTORY + "Posthumous or restrike"),
                item(
                        "(a), use of the master",
                        "Earlier limited edition, states, reworking",
                        HISTORY + "Earlier states and editions of the image",
                        HISTORY + "Later editions of the image in this log",
                        HISTORY + "Reworked after an earlier edition"),
                item("(a), time", "Year", EDITION + "Year"),
                item(
                        "(a), size",
                        "Whether limited; numbered or signed; not numbered or signed; total",
                        COUNT + "Whether the edition is limited, and how",
                        COUNT + "Number declared",
                        SIGNED + "How many are signed",
                        SIGNED + "Printed but not signed or numbered",
                        COUNT + "Numbered impressions and proofs beside them, trial proofs left out"),
                proofs("(a), size", "Proofs beside the edition, trial proofs left out"),
                item("(a), the master after the edition", "What became of stone or plate", ENDS));
        known(
                "Illinois",
                "Illinois 815 ILCS 345, from memory",
                item("(a)", "Artist, and year printed", EDITION + "Artist", EDITION + "Year"),
                item(
                        "(b)",
                        "Whether limited; signed or numbered; not signed or numbered; total",
                        COUNT + "Whether the edition is limited, and how",
                        COUNT + "Number declared",
                        SIGNED + "How many are signed",
                        SIGNED + "Printed but not signed or numbered",
                        COUNT + "Numbered impressions and proofs beside them, trial proofs left out"),
                proofs("(b)", "Proofs beside the edition, trial proofs left out"),
                item("(c)", "What became of stone or plate", ENDS),
                item(
                        "(d) and (e)",
                        "Earlier states; earlier and later editions from the same plate",
                        HISTORY + "Earlier states and editions of the image",
                        HISTORY + "Later editions of the image in this log"),
                item(
                        "(f)",
                        "Posthumous or a restrike, and whether reworked",
                        HISTORY + "Posthumous or restrike",
                        HISTORY + "Reworked after an earlier edition"),
                item("(g)", "Workshop", EDITION + "Workshop"));
    }

    /** The facts that an item names, in its order; those that are unknown stay without a value. */
    static List<StudioView.DocumentedFact> facts(Item item, List<StudioView.Documented> groups) {
        List<StudioView.DocumentedFact> facts = new ArrayList<>();
        for (String told : item.told) {
            String heading = told.substring(0, told.indexOf('/'));
            String field = told.substring(told.indexOf('/') + 1);
            groups.stream()
                    .filter(group -> group.heading().equals(heading))
                    .flatMap(group -> group.facts().stream())
                    .filter(fact -> field.equals("*") || fact.field().equals(field))
                    .forEach(facts::add);
        }
        return facts;
    }
}
