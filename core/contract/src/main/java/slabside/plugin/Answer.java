package slabside.plugin;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.TreeMap;
import java.util.stream.IntStream;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;

/**
 * What a calculator or report gives back: a title and blocks in reading order. The host draws it as a page, text, JSON
 * and CSV. Immutable; every method returns a new answer.
 */
public record Answer(String title, List<Block> blocks) {
    public Answer {
        blocks = List.copyOf(blocks);
    }

    /** One piece of an answer. */
    public sealed interface Block {}

    public record Heading(String text) implements Block {}

    public record Text(String text) implements Block {}

    /**
     * @param u standard uncertainty (k = 1); zero when exact
     * @param unit such as "g"; an empty text for a count
     * @param working the formula in words
     */
    public record Quantity(String label, double value, double u, String unit, String working) implements Block {
        public Quantity {
            if (!Double.isFinite(value) || !Double.isFinite(u) || u < 0) {
                throw new BadInput(label, value + " ± " + u, "this is no number that can be shown; say in words why");
            }
        }
    }

    /**
     * Cells are text as shown; a column of numbers is right-aligned.
     *
     * @param about for each row the event or thing that it tells of, or an empty text; no entries when no row tells of any
     */
    public record Table(String caption, List<String> headings, List<List<String>> rows, List<String> about)
            implements Block {
        public Table {
            headings = List.copyOf(headings);
            rows = rows.stream().map(List::copyOf).toList();
            about = List.copyOf(about);
            if (!about.isEmpty() && about.size() != rows.size()) {
                throw new BadInput(
                        "table " + caption, about.size() + " events for " + rows.size() + " rows", "give one for each");
            }
            for (List<String> row : rows) {
                if (row.size() != headings.size()) {
                    throw new BadInput(
                            "table " + caption,
                            row,
                            "give each row as many cells as there are headings, " + headings.size());
                }
            }
        }

        public Table(String caption, List<String> headings, List<List<String>> rows) {
            this(caption, headings, rows, List.of());
        }

        /** The same without the columns in which every cell is empty; the first always stays. */
        public Table withoutEmptyColumns() {
            List<Integer> said = IntStream.range(0, headings.size())
                    .filter(column -> column == 0
                            || rows.stream().anyMatch(row -> !row.get(column).isEmpty()))
                    .boxed()
                    .toList();
            return new Table(
                    caption,
                    said.stream().map(headings::get).toList(),
                    rows.stream()
                            .map(row -> said.stream().map(row::get).toList())
                            .toList(),
                    about);
        }
    }

    /** Things to do, in order; each may be ticked off on paper. */
    public record Steps(List<Step> steps) implements Block {
        public Steps {
            steps = List.copyOf(steps);
        }
    }

    /**
     * @param reading what the scale shows afterwards, or an empty text
     */
    public record Step(String text, String reading) {}

    /** A band of inks, each as wide as its share. */
    public record Strip(String caption, List<Part> parts) implements Block {
        public Strip {
            parts = List.copyOf(parts);
        }
    }

    /**
     * @param share 0 to 1
     * @param screen a colour as #rrggbb for the screen only, or an empty text where none is known
     */
    public record Part(String label, double share, String screen) {
        public Part {
            if (!(share >= 0 && share <= 1 + 1e-9)) {
                throw new BadInput("share of " + label, share, "give a share from 0 to 1");
            }
        }
    }

    /**
     * Values over a count or a measure, with what happened drawn beneath them.
     *
     * @param across what stands across, such as "pull"
     * @param up what stands up, with its unit
     * @param bands within which values are as they should be; none or one
     */
    public record Chart(
            String caption, String across, String up, List<Point> points, List<Mark> marks, List<Band> bands)
            implements Block {
        public Chart {
            points = List.copyOf(points);
            marks = List.copyOf(marks);
            bands = List.copyOf(bands);
        }

        public Chart(String caption, String across, String up, List<Point> points, List<Mark> marks) {
            this(caption, across, up, points, marks, List.of());
        }
    }

    /** From where to where values are as they should be, and what they should be. */
    public record Band(double low, double centre, double high, String label) {
        public Band {
            if (!Double.isFinite(low) || !Double.isFinite(centre) || !Double.isFinite(high)) {
                throw new BadInput("band " + label, low + " to " + high, "give three numbers, or no band");
            }
        }
    }

    /** One value. */
    public record Point(double x, double y) {
        public Point {
            if (!Double.isFinite(x) || !Double.isFinite(y)) {
                throw new BadInput("point of a chart", x + ", " + y, "leave out what is no number");
            }
        }
    }

    /**
     * Something that happened just before a place.
     *
     * @param strong whether it is the one that is spoken of
     * @param about the event or thing that it tells of, or an empty text
     */
    public record Mark(double x, String label, boolean strong, String about) {
        public Mark {
            if (!Double.isFinite(x)) {
                throw new BadInput("mark " + label, x, "say where it stands, or leave it out");
            }
        }
    }

    /** Something taken for granted, with where it comes from. */
    public record Assumption(String text, String origin) implements Block {}

    public record Caution(String text) implements Block {}

    /**
     * A link to an event or thing of the log.
     *
     * @param id of the event or thing
     */
    public record Link(String text, String id) implements Block {}

    /**
     * A link to what a calculator answers.
     *
     * @param calculator its id
     * @param replies by the ids of its questions
     */
    public record Ask(String text, String calculator, Map<String, String> replies) implements Block {
        public Ask {
            // In one order, so that an answer is the same every time.
            replies = Collections.unmodifiableMap(new TreeMap<>(replies));
        }
    }

    /** Blocks for those who want to know more; folded away until asked for. */
    public record Deeper(String title, List<Block> blocks) implements Block {
        public Deeper {
            blocks = List.copyOf(blocks);
        }
    }

    /**
     * Colours beside each other.
     *
     * @param caption what they show
     */
    public record Swatches(String caption, List<Swatch> swatches) implements Block {
        public Swatches {
            swatches = List.copyOf(swatches);
        }
    }

    /**
     * @param screen a colour as #rrggbb, for the screen only
     * @param words what it is made of or how sure it is, or an empty text
     * @param measured true for what an instrument read, false for what was computed or picked; told apart by shape and words
     */
    public record Swatch(String label, String screen, String words, boolean measured) {
        /** One that was computed or picked. */
        public Swatch(String label, String screen, String words) {
            this(label, screen, words, false);
        }
    }

    /**
     * A picture.
     *
     * @param caption what it shows; read out to whoever cannot see it
     * @param image PNG or JPEG, at most 2 MB
     */
    public record Picture(String caption, Upload image) implements Block {
        /** Most bytes of a picture. */
        public static final int LARGEST = 2 << 20;

        public Picture {
            byte[] bytes = image.bytes();
            boolean png = bytes.length > 8 && bytes[0] == (byte) 0x89 && bytes[1] == 'P' && bytes[2] == 'N';
            boolean jpeg = bytes.length > 3 && bytes[0] == (byte) 0xff && bytes[1] == (byte) 0xd8;
            if (!png && !jpeg || bytes.length > LARGEST) {
                throw new BadInput("picture " + caption, image.name(), "give a PNG or JPEG of at most 2 MB");
            }
        }
    }

    /**
     * What a paper asks for, one under the other, each with its answer or a line to write it on.
     *
     * @param caption above it, or an empty text
     */
    public record Fields(String caption, List<Field> fields) implements Block {
        public Fields {
            fields = List.copyOf(fields);
        }
    }

    /**
     * One field.
     *
     * @param value in words; empty for a line to write on
     * @param note beside an empty one, such as "not written down", or an empty text
     */
    public record Field(String label, String value, String note) {}

    /** Empty boxes on paper, such as for dabs; on a page only their labels. */
    public record Boxes(String caption, List<String> labels) implements Block {
        private static final int MOST = 60;

        public Boxes {
            labels = List.copyOf(labels);
            if (labels.isEmpty() || labels.size() > MOST) {
                throw new BadInput("boxes " + caption, labels.size(), "give 1 to " + MOST);
            }
        }
    }

    /**
     * A code that a camera reads, which leads to a thing of the studio while its pages are served.
     *
     * @param id of the thing
     */
    public record Code(String caption, String id) implements Block {}

    /** Labels to stick on, in the places of a sheet of them. */
    public record Labels(String caption, LabelSheet sheet, List<Label> labels) implements Block {
        private static final int MOST = 2_000;

        public Labels {
            labels = List.copyOf(labels);
            if (labels.size() > MOST) {
                throw new BadInput("labels", labels.size(), "give at most " + MOST);
            }
        }
    }

    /**
     * Where the labels of a sheet lie, in mm.
     *
     * @param paperWide of the sheet; of a single label its own
     * @param wide of a label
     * @param columns across, and {@code rows} down
     * @param left to the first label, and {@code top}
     * @param across from one label to the next, and {@code down}
     */
    public record LabelSheet(
            String name,
            double paperWide,
            double paperHigh,
            double wide,
            double high,
            int columns,
            int rows,
            double left,
            double top,
            double across,
            double down) {
        public LabelSheet {
            if (columns < 1
                    || rows < 1
                    || !(wide > 0 && high > 0)
                    || left + (columns - 1) * across + wide > paperWide + 0.5
                    || top + (rows - 1) * down + high > paperHigh + 0.5) {
                throw new BadInput("sheet of labels", name, "its labels must lie on the paper");
            }
        }
    }

    /**
     * One label.
     *
     * @param id of the thing that its code leads to
     * @param large in large letters, such as the short id
     * @param lines below, the most important first; those that find no room are left out
     * @param box what its empty box is for, such as a dab; an empty text for none
     */
    public record Label(String id, String large, String name, List<String> lines, String box) {
        public Label {
            lines = List.copyOf(lines);
        }
    }

    /** A clock that runs down when somebody starts it, with a sound at its end. */
    public record Timer(String label, int seconds) implements Block {
        public Timer {
            if (seconds < 1 || seconds > 86_400) {
                throw new BadInput("timer", seconds + " s", "give 1 s to a day");
            }
        }
    }

    /** Entries that whoever asked may write down; nothing is written before that. */
    public record Proposed(String caption, List<Proposal> entries) implements Block {
        public Proposed {
            entries = List.copyOf(entries);
        }
    }

    /**
     * One entry.
     *
     * @param type stored name: one of the log's own, such as "press.measured", or that of an {@link OwnEvent} of the same plugin
     * @param fields body of the entry
     * @param words the sentence that tells it; of the log's own kinds the log makes it, and this is not used
     * @param about ids of the things it concerns; of the log's own kinds the fields say so, and this is not used
     * @param millis when it happened, in ms since 1970 UTC; empty for now
     */
    public record Proposal(
            String type, int version, Json.Fields fields, String words, List<String> about, OptionalLong millis) {
        public Proposal {
            about = List.copyOf(about);
        }

        /** This entry, about these things. */
        public Proposal about(String... ids) {
            return new Proposal(type, version, fields, words, List.of(ids), millis);
        }

        /** This entry, at a moment in ms since 1970 UTC. */
        public Proposal at(long moment) {
            return new Proposal(type, version, fields, words, about, OptionalLong.of(moment));
        }
    }

    public static Answer titled(String title) {
        return new Answer(title, List.of());
    }

    public Answer with(Block block) {
        List<Block> more = new ArrayList<>(blocks);
        more.add(block);
        return new Answer(title, more);
    }

    public Answer withAll(List<? extends Block> added) {
        List<Block> more = new ArrayList<>(blocks);
        more.addAll(added);
        return new Answer(title, more);
    }

    public Answer heading(String text) {
        return with(new Heading(text));
    }

    public Answer text(String text) {
        return with(new Text(text));
    }

    public Answer quantity(String label, Uncertain value, String unit, String working) {
        return with(new Quantity(label, value.value(), value.u(), unit, working));
    }

    public Answer quantity(String label, double value, String unit, String working) {
        return with(new Quantity(label, value, 0, unit, working));
    }

    /** A chart of points over a count or a measure; say what stands across and up, with its unit. */
    public Answer chart(String caption, String across, String up, List<Point> points) {
        return with(new Chart(caption, across, up, points, List.of()));
    }

    /** A table with a row for each of {@code rows}. */
    public Answer table(String caption, List<String> headings, List<List<String>> rows) {
        return with(new Table(caption, headings, rows));
    }

    public Answer caution(String text) {
        return with(new Caution(text));
    }

    public Answer assumption(String text, String origin) {
        return with(new Assumption(text, origin));
    }

    /** Adds which questions took their defaults, an assumption for each origin of these. */
    public Answer assumptionsOf(Replies replies) {
        Map<String, List<String>> byOrigin = new LinkedHashMap<>();
        replies.assumed()
                .forEach((taken, origin) -> byOrigin.computeIfAbsent(origin, any -> new ArrayList<>())
                        .add(taken));
        Answer answer = this;
        for (var entry : byOrigin.entrySet()) {
            answer = answer.assumption("Not given: " + String.join("; ", entry.getValue()), entry.getKey());
        }
        return answer;
    }
}
