package slabside.web;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.URI;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.fontbox.util.autodetect.FontFileFinder;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.io.RandomAccessReadBufferedFile;

/**
 * Letters that the embedded fonts lack: taken from a font of this machine that has them, else shown by their code point in a
 * marked box, so that nothing is left out and nothing is a question mark.
 */
final class Letters {
    /** At most so many fonts of the machine go into one paper. */
    private static final int MOST = 4;
    /** So many fonts of the machine are looked into, no more. */
    private static final int LOOKED_INTO = 600;

    private static final String FAMILY = "Other";

    /** Behind the embedded fonts in every list of fonts; those that are not needed are not there. */
    static final String FAMILIES =
            "Heads, " + IntStream.range(0, MOST).mapToObj(i -> FAMILY + i).collect(Collectors.joining(", "));

    private static final Letters HERE = new Letters(() -> new FontFileFinder().find());

    /**
     * A page with every letter printable.
     *
     * @param fonts of this machine that it needs, by the name of their family
     */
    record Printable(String html, Map<String, File> fonts) {}

    private final Supplier<List<URI>> files;
    private final List<CmapLookup> embedded = new ArrayList<>();
    /** What of a font was looked up before; a file that is no readable font has none. */
    private final Map<File, Optional<CmapLookup>> seen = new LinkedHashMap<>();

    private boolean looked;

    /**
     * @param files where fonts of the machine lie
     */
    Letters(Supplier<List<URI>> files) {
        this.files = files;
        for (String font : List.of("atkinson-400.ttf", "serif-600.ttf")) {
            try (InputStream in = Objects.requireNonNull(Letters.class.getResourceAsStream("/paper/" + font));
                    TrueTypeFont parsed = new TTFParser().parse(new RandomAccessReadBuffer(in))) {
                embedded.add(parsed.getUnicodeCmapLookup());
            } catch (IOException broken) {
                throw new UncheckedIOException(broken);
            }
        }
    }

    static Printable here(String html) {
        return HERE.printable(html);
    }

    /** Letters are looked at between tags only; in drawings, where one font stands, a missing one becomes its code point. */
    synchronized Printable printable(String html) {
        if (html.codePoints().allMatch(this::isEmbedded)) {
            return new Printable(html, Map.of());
        }
        Map<File, String> used = new LinkedHashMap<>();
        StringBuilder out = new StringBuilder(html.length() + 64);
        int drawing = 0;
        boolean told = true;
        for (int i = 0; i < html.length(); ) {
            char c = html.charAt(i);
            if (c == '<') {
                String tag = html.substring(i, end(html, i));
                String name = tag.toLowerCase(Locale.ROOT);
                drawing += name.startsWith("<svg") ? 1 : name.startsWith("</svg") ? -1 : 0;
                told = name.startsWith("<title") || name.startsWith("<style")
                        ? false
                        : name.startsWith("</title") || name.startsWith("</style") || told;
                out.append(tag);
                i += tag.length();
            } else {
                int letter = html.codePointAt(i);
                out.append(told ? shown(letter, drawing > 0, used) : Character.toString(letter));
                i += Character.charCount(letter);
            }
        }
        Map<String, File> fonts = new LinkedHashMap<>();
        used.forEach((file, family) -> fonts.put(family, file));
        return new Printable(out.toString(), fonts);
    }

    /** Behind the end of a tag; a sign that ends tags may stand in the value of an attribute. */
    private static int end(String html, int from) {
        char quote = 0;
        for (int i = from; i < html.length(); i++) {
            char c = html.charAt(i);
            if (quote == 0 && c == '>') {
                return i + 1;
            }
            if (quote == 0 && (c == '"' || c == '\'')) {
                quote = c;
            } else if (c == quote) {
                quote = 0;
            }
        }
        return html.length();
    }

    private boolean isEmbedded(int letter) {
        return letter < ' ' || embedded.stream().anyMatch(font -> font.getGlyphId(letter) > 0);
    }

    private String shown(int letter, boolean drawing, Map<File, String> used) {
        if (isEmbedded(letter)) {
            return Character.toString(letter);
        }
        // Marks that only say how the next letter is written have no shape of their own.
        int type = Character.getType(letter);
        boolean silent = type == Character.FORMAT || letter >= 0xFE00 && letter <= 0xFE0F;
        if (!drawing && (silent || font(letter, used))) {
            return Character.toString(letter);
        }
        if (silent) {
            return "";
        }
        String code = String.format(Locale.ROOT, "U+%04X", letter);
        return drawing ? code : "<span class=\"letter\">" + code + "</span>";
    }

    /** Whether a font of this machine has a letter; it is taken into use then. */
    private boolean font(int letter, Map<File, String> used) {
        for (File file : used.keySet()) {
            if (has(file, letter)) {
                return true;
            }
        }
        if (used.size() == MOST || isUnassigned(letter)) {
            return false;
        }
        for (File file : candidates()) {
            if (has(file, letter)) {
                used.put(file, FAMILY + used.size());
                return true;
            }
        }
        return false;
    }

    private static boolean isUnassigned(int letter) {
        int type = Character.getType(letter);
        return type == Character.UNASSIGNED || type == Character.PRIVATE_USE || type == Character.SURROGATE;
    }

    /** Upright fonts of normal weight first, in one order on every run. */
    private List<File> candidates() {
        if (!looked) {
            looked = true;
            files.get().stream()
                    .map(uri -> Path.of(uri).toFile())
                    .filter(file -> file.getName().toLowerCase(Locale.ROOT).endsWith(".ttf"))
                    .sorted(java.util.Comparator.comparing((File file) -> file.getName()
                                    .matches("(?i).*(bold|italic|oblique|mono|light|thin|condensed|narrow|black).*"))
                            .thenComparing(File::getName))
                    .limit(LOOKED_INTO)
                    .forEach(file -> seen.put(file, Optional.empty()));
            seen.replaceAll((file, none) -> lookup(file));
        }
        return List.copyOf(seen.keySet());
    }

    private boolean has(File file, int letter) {
        return seen.getOrDefault(file, Optional.empty())
                .filter(font -> font.getGlyphId(letter) > 0)
                .isPresent();
    }

    /** A file of the machine that is no font we can embed is no fault of ours: it has no letters. */
    private static Optional<CmapLookup> lookup(File file) {
        try (TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBufferedFile(file))) {
            // Only what has outlines can be embedded; pictures of letters have none.
            return font.getGlyph() == null || !mayBeEmbedded(font)
                    ? Optional.empty()
                    : Optional.of(font.getUnicodeCmapLookup());
        } catch (IOException | RuntimeException unreadable) {
            return Optional.empty();
        }
    }

    /** As the font says of itself (OpenType, OS/2 fsType, bit 1: restricted). */
    private static boolean mayBeEmbedded(TrueTypeFont font) throws IOException {
        return font.getOS2Windows() == null || (font.getOS2Windows().getFsType() & 0x000F) != 2;
    }
}
