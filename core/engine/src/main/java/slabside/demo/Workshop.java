package slabside.demo;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import slabside.event.Condition;
import slabside.event.MaterialRole;
import slabside.event.Price;
import slabside.event.ShelfEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.ToolKind;
import slabside.log.LogTrouble;
import slabside.measure.Spectrum;

/** The Harrowmere Stone Room: its people, its shelf and its tools, all invented. */
final class Workshop {
    static final ThingId PRINTER = new ThingId("person-ilse");
    static final ThingId SPONGER = new ThingId("person-tam");
    static final ThingId ARTIST = new ThingId("person-orla");
    static final ThingId WEIR_ARTIST = new ThingId("person-benno");

    private final Script script;
    private final Map<String, ThingId> materials = new LinkedHashMap<>();
    private final Map<String, ThingId> cans = new LinkedHashMap<>();
    private final Map<String, ThingId> tools = new LinkedHashMap<>();

    Workshop(Script script) {
        this.script = script;
        script.by(PRINTER);
        material("base", "transparent base", MaterialRole.BASE, null, "#f3e9c8");
        material("white", "opaque white", MaterialRole.OPAQUE_WHITE, "PW6", "#fbfbf6");
        material("yellow", "yellow", MaterialRole.INK, "PY74", "#f2c800");
        material("ochre", "ochre", MaterialRole.INK, "PY43", "#b98532");
        material("rubine", "rubine", MaterialRole.INK, "PR57:1", "#b3123f");
        material("blue", "process blue", MaterialRole.INK, "PB15:3", "#0072a8");
        material("green", "green", MaterialRole.INK, "PG7", "#00724f");
        material("violet", "violet", MaterialRole.INK, "PV23", "#3d2a6d");
        material("black", "black", MaterialRole.INK, "PBk7", "#141414");
        material("brown", "brown", MaterialRole.INK, "PBr7", "#5a3520");
        material("mag", "magnesium carbonate", MaterialRole.POWDER, null, "#ffffff");
        material("oil", "thin plate oil", MaterialRole.VARNISH, null, "#e9d9a4");
        material("reducer", "tack reducer", MaterialRole.TACK_REDUCER, null, "#eeeeda");
        material("drier", "cobalt drier", MaterialRole.DRIER, null, "#43306b");
        tool("scale", ToolKind.SCALE, "pocket scale", null, null, null, 100L);
        tool("fine scale", ToolKind.SCALE, "fine scale", null, null, null, 10L);
        tool("roller 15", ToolKind.ROLLER, "smooth roller 15 cm", 150_000L, 400_000L, "smooth", null);
        tool("roller 20", ToolKind.ROLLER, "blend roller 20 cm", 200_000L, 600_000L, "smooth", null);
        tool("roller 22", ToolKind.ROLLER, "leather roller 22 cm", 220_000L, 500_000L, "leather nap", null);
        tool("roller 25", ToolKind.ROLLER, "smooth roller 25 cm", 250_000L, 600_000L, "smooth", null);
        can("old base", "base", "TB-1907", "1000", "31.00");
        can("old white", "white", "WH-4870", "500", "24.00");
        can("old blue", "blue", "PB-2981", "250", "29.00");
        can("old black", "black", "BK-7102", "250", "18.00");
        can("old ochre", "ochre", "YO-0391", "250", "21.00");
        can("old rubine", "rubine", "RR-2044", "250", "30.00");
        can("mag", "mag", "MC-11", "200", "6.50");
        can("reducer", "reducer", "TR-06", "200", "14.00");
        can("drier", "drier", "CD-02", "100", "9.00");
        can("oil", "oil", "PO-31", "250", "11.00");
    }

    /** Ten new cans: T01 to T10. */
    void newShelf(LocalDate day) {
        script.at(day, 9, 0);
        can("T01", "base", "TB-2408", "1000", "34.00");
        can("T02", "white", "WH-5102", "500", "26.50");
        can("T03", "yellow", "YL-1163", "250", "27.00");
        can("T04", "ochre", "YO-0447", "250", "23.00");
        can("T05", "rubine", "RR-2210", "250", "32.00");
        can("T06", "blue", "PB-3315", "250", "31.00");
        can("T07", "green", "PG-0820", "250", "33.00");
        can("T08", "violet", "VI-0091", "250", "38.00");
        can("T09", "black", "BK-7740", "250", "19.50");
        can("T10", "brown", "BR-0312", "250", "22.00");
        script.later(30);
        script.write(new TestEvent.StrengthJudged(
                can("T06"), can("old blue"), new BigDecimal("112"), "bleached with white, side by side"));
        script.later(5);
        script.write(new TestEvent.StrengthJudged(
                can("T09"), can("old black"), new BigDecimal("94"), "bleached with white, side by side"));
        script.later(5);
        finish("old base", "slightly amber towards the end");
        finish("old blue", null);
        finish("old black", null);
    }

    void lookRound(LocalDate day) {
        script.at(day, 17, 10);
        script.by(PRINTER);
        script.write(
                new ShelfEvent.VesselInspected(can("old ochre"), List.of(Condition.SKIN), "lid was not pressed down"));
    }

    /** Drawdowns of three inks and what a borrowed instrument read of them when they were dry; its numbers are invented too. */
    void readings(LocalDate day) {
        script.at(day, 17, 30);
        Map<ThingId, Spectrum> read = new LinkedHashMap<>();
        read.put(drawdown("T05"), spectrum(new double[][] {{535, 48, 1.5}, {575, 30, 0.6}, {390, 40, 0.35}}));
        read.put(drawdown("T06"), spectrum(new double[][] {{620, 50, 1.3}, {690, 60, 0.9}, {380, 30, 0.2}}));
        read.put(drawdown("T07"), spectrum(new double[][] {{430, 45, 1.1}, {640, 62, 1.3}}));
        script.at(day.plusDays(2), 9, 0);
        read.forEach((drawdown, spectrum) -> {
            script.later(2);
            script.write(new TestEvent.ColourRead(
                    drawdown,
                    null,
                    spectrum,
                    null,
                    null,
                    "borrowed instrument",
                    "45/0",
                    null,
                    null,
                    "white",
                    new BigDecimal("39"),
                    3_000L,
                    null));
        });
    }

    private ThingId drawdown(String can) {
        ThingId id = script.thing("drawdown");
        script.later(4);
        script.write(new TestEvent.DrawdownMade(id, can(can), null, "white", 3_000L, "3 g/m², on white card"));
        return id;
    }

    /** A film that takes light away in bells about some wavelengths, on a white that gives back 85 %. */
    private static Spectrum spectrum(double[][] bells) {
        List<BigDecimal> values = new ArrayList<>();
        for (int nm = 400; nm <= 700; nm += 10) {
            double taken = 0.01;
            for (double[] bell : bells) {
                double off = (nm - bell[0]) / bell[1];
                taken += bell[2] * StrictMath.exp(-off * off / 2);
            }
            values.add(BigDecimal.valueOf(0.85 * StrictMath.exp(-2 * taken)).setScale(4, RoundingMode.HALF_UP));
        }
        return new Spectrum(400, 10, values);
    }

    private void finish(String can, @Nullable String words) {
        script.later(1);
        script.write(new ShelfEvent.CanFinished(can(can), words));
    }

    private void material(String key, String name, MaterialRole role, @Nullable String pigment, String screen) {
        ThingId id = script.thing("material");
        materials.put(key, id);
        script.secondsLater(20);
        script.write(new ShelfEvent.MaterialListed(id, name, role, pigment, null, screen, null));
    }

    private void tool(
            String key,
            ToolKind kind,
            String name,
            @Nullable Long diameter,
            @Nullable Long width,
            @Nullable String cover,
            @Nullable Long step) {
        ThingId id = script.thing("tool");
        tools.put(key, id);
        script.secondsLater(20);
        script.write(new ShelfEvent.ToolListed(id, kind, name, diameter, width, cover, step));
    }

    private void can(String key, String material, String lot, String grams, String price) {
        ThingId id = script.thing("can");
        cans.put(key, id);
        script.later(1);
        script.write(new ShelfEvent.CanReceived(
                id,
                material(material),
                lot,
                script.label(),
                Script.net(grams, "1"),
                null,
                new Price(new BigDecimal(price), "EUR"),
                "folder by the door"));
        script.secondsLater(30);
        script.write(new ShelfEvent.CanOpened(id, null));
    }

    ThingId can(String key) {
        return java.util.Objects.requireNonNull(cans.get(key), key);
    }

    ThingId tool(String key) {
        return java.util.Objects.requireNonNull(tools.get(key), key);
    }

    ThingId material(String key) {
        return java.util.Objects.requireNonNull(materials.get(key), key);
    }

    static void people(Path data) {
        Map<String, String> names = new LinkedHashMap<>();
        names.put(PRINTER.text(), "Ilse Varnhollow (invented)");
        names.put(SPONGER.text(), "Tam Ostrey (invented)");
        names.put(ARTIST.text(), "Orla Fenwether (invented)");
        names.put(WEIR_ARTIST.text(), "Benno Ashgrave (invented)");
        try {
            new ObjectMapper()
                    .writerWithDefaultPrettyPrinter()
                    .writeValue(data.resolve("people.json").toFile(), names);
        } catch (IOException failed) {
            throw new LogTrouble("The list of people cannot be written: " + failed.getMessage(), failed);
        }
    }
}
