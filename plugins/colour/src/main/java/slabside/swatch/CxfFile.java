package slabside.swatch;

import java.io.StringReader;
import java.math.BigDecimal;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import javax.xml.stream.XMLInputFactory;
import javax.xml.stream.XMLStreamConstants;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamReader;
import slabside.measure.Lab;

/**
 * XML of ISO 17972-1 (CxF/X): objects with their values, each of which names how it was read. Elements are known by their names
 * without prefix; no document type and nothing outside the file is read.
 */
final class CxfFile {
    private static final int DEEPEST = 60;
    private static final int MOST_VALUES = 10_000;
    private static final int MOST_BANDS = 1_000;

    private final FileRead read;
    private final Map<String, Specification> specifications = new HashMap<>();
    private final List<Found> found = new ArrayList<>();
    /** Elements that are open, the innermost first. */
    private final Deque<String> open = new ArrayDeque<>();

    private String object = "";
    private Specification specification = new Specification();
    private Found value = new Found(0, "", "");

    CxfFile(FileRead read) {
        this.read = read;
    }

    /** How values were read; filled while its element is open. */
    private static final class Specification {
        private int step = 10;
        private int start;
        private String illuminant = "";
        private String observer = "";
        private String lit = "";
        private String seen = "";
        private String instrument = "";
        private String backing = "";

        Sample.Conditions conditions() {
            return new Sample.Conditions(
                    instrument,
                    lit.isEmpty() && seen.isEmpty() ? "" : lit + "/" + seen,
                    illuminant,
                    FileRead.observer(observer.replace('_', ' ')),
                    backing);
        }
    }

    /** A value of an object; filled while its element is open. */
    private static final class Found {
        private final int line;
        private final String name;
        private final String specification;
        private String start = "";
        private String spectrum = "";
        private String density = "";
        private final Map<String, String> lab = new HashMap<>();

        Found(int line, String name, String specification) {
            this.line = line;
            this.name = name;
            this.specification = specification;
        }
    }

    void read(String text) {
        XMLInputFactory factory = XMLInputFactory.newFactory();
        factory.setProperty(XMLInputFactory.SUPPORT_DTD, false);
        factory.setProperty(XMLInputFactory.IS_SUPPORTING_EXTERNAL_ENTITIES, false);
        int line = 1;
        try {
            XMLStreamReader xml = factory.createXMLStreamReader(new StringReader(text));
            StringBuilder words = new StringBuilder();
            while (xml.hasNext() && found.size() < MOST_VALUES) {
                int kind = xml.next();
                line = Math.max(1, xml.getLocation().getLineNumber());
                if (kind == XMLStreamConstants.START_ELEMENT) {
                    words.setLength(0);
                    open.push(xml.getLocalName());
                    if (open.size() > DEEPEST) {
                        read.trouble(
                                line, "elements lie one in the other more than " + DEEPEST + " deep; this is no CxF");
                        return;
                    }
                    begins(xml, line);
                } else if (kind == XMLStreamConstants.CHARACTERS || kind == XMLStreamConstants.CDATA) {
                    words.append(xml.getText());
                } else if (kind == XMLStreamConstants.END_ELEMENT) {
                    ends(open.pop(), words.toString().strip());
                    words.setLength(0);
                }
            }
        } catch (XMLStreamException broken) {
            read.trouble(
                    Math.max(
                            line,
                            broken.getLocation() == null
                                    ? 1
                                    : broken.getLocation().getLineNumber()),
                    "this is no whole XML; save the file again");
        }
        if (found.isEmpty()) {
            read.trouble(
                    line, "no object has a reflectance spectrum, CIELAB or a density; let the instrument save them");
        }
        for (Found each : found) {
            if (read.goesOn()) {
                told(each);
            }
        }
    }

    private void begins(XMLStreamReader xml, int line) {
        switch (xml.getLocalName()) {
            case "Object" -> {
                object = attribute(xml, "Name");
            }
            case "ColorSpecification" -> {
                specification = new Specification();
                specifications.put(attribute(xml, "Id"), specification);
            }
            case "WavelengthRange" -> {
                specification.step = whole(attribute(xml, "Increment"), 10);
                specification.start = whole(attribute(xml, "StartWL"), 0);
            }
            case "ReflectanceSpectrum", "ColorCIELab", "ColorDensity" -> {
                value = new Found(line, object, attribute(xml, "ColorSpecification"));
                value.start = attribute(xml, "StartWL");
            }
            default -> {
                // Everything else is told by its text.
            }
        }
    }

    private void ends(String element, String words) {
        String within = open.isEmpty() ? "" : open.peek();
        switch (element) {
            case "ReflectanceSpectrum" -> {
                value.spectrum = words;
                found.add(value);
            }
            case "ColorCIELab" -> found.add(value);
            case "L", "A", "B" -> {
                if (within.equals("ColorCIELab")) {
                    value.lab.put(element, words);
                }
            }
            case "Density" -> {
                if (within.equals("ColorDensity")) {
                    value.density = words;
                }
            }
            case "ColorDensity" -> {
                value.density = value.density.isEmpty() ? words : value.density;
                found.add(value);
            }
            case "Illuminant" -> specification.illuminant = FileRead.shortened(words);
            case "Observer" -> specification.observer = FileRead.shortened(words);
            case "IlluminationAngle" -> specification.lit = FileRead.shortened(words);
            case "MeasurementAngle" -> specification.seen = FileRead.shortened(words);
            case "Model" -> specification.instrument = FileRead.shortened(words);
            case "Backing", "SampleBacking" -> specification.backing = FileRead.shortened(words);
            default -> {
                // Nothing that is kept.
            }
        }
    }

    private static String attribute(XMLStreamReader xml, String name) {
        String value = xml.getAttributeValue(null, name);
        return value == null ? "" : value.strip();
    }

    private static int whole(String text, int otherwise) {
        return text.matches("\\d{1,4}(\\.0+)?") ? (int) Double.parseDouble(text) : otherwise;
    }

    private void told(Found value) {
        Specification how = specifications.getOrDefault(value.specification, new Specification());
        TreeMap<Integer, BigDecimal> spectrum = new TreeMap<>();
        if (!value.spectrum.isEmpty()) {
            int start = whole(value.start, how.start);
            if (start == 0 || how.step == 0) {
                read.trouble(value.line, "nothing says where the spectrum begins (StartWL); save the file again");
                return;
            }
            int nm = start;
            for (String part : value.spectrum.split("\\s+", MOST_BANDS + 1)) {
                Optional<BigDecimal> number = read.number(value.line, nm + " nm", part);
                if (number.isEmpty()) {
                    return;
                }
                spectrum.put(nm, number.get());
                nm += how.step;
            }
        }
        Optional<Lab> lab = Optional.empty();
        if (!value.lab.isEmpty()) {
            List<BigDecimal> parts = new ArrayList<>();
            for (String part : List.of("L", "A", "B")) {
                read.number(value.line, part, value.lab.getOrDefault(part, "")).ifPresent(parts::add);
            }
            if (parts.size() < 3) {
                return;
            }
            lab = Optional.of(new Lab(parts.get(0), parts.get(1), parts.get(2)));
        }
        Optional<BigDecimal> density = Optional.empty();
        if (!value.density.isEmpty()) {
            density = read.number(value.line, "density", value.density);
            if (density.isEmpty()) {
                return;
            }
        }
        read.reading(value.line, value.name, spectrum, lab, density, how.conditions());
    }
}
