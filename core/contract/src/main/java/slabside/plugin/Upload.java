package slabside.plugin;

import java.net.URLDecoder;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.measure.BadInput;

/**
 * A picture or file given as a reply. As text it is a data URL (RFC 2397) with one more parameter, the name.
 *
 * @param name as its device called it, without folders
 * @param mediaType such as "image/png", as its device said; an importer looks into the bytes
 * @param content Base64 of its bytes
 */
public record Upload(String name, String mediaType, String content) {
    /** Most bytes that one reply may have. */
    public static final int LARGEST = 8 << 20;

    private static final Pattern URL = Pattern.compile("data:([^;,]*)((?:;[^;,]*)*);base64,(.*)", Pattern.DOTALL);
    private static final Pattern NAME = Pattern.compile(";name=([^;]*)");

    public static Upload of(String name, String mediaType, byte[] bytes) {
        return new Upload(
                name.replaceAll(".*[/\\\\]", ""), mediaType, Base64.getEncoder().encodeToString(bytes));
    }

    /**
     * @throws BadInput when the text is no data URL in Base64, or it is larger than {@link #LARGEST}
     */
    static Upload read(String field, String text) {
        Matcher url = URL.matcher(text);
        if (!url.matches()) {
            throw new BadInput(field, text, "choose a file; on the command line write @ and its path");
        }
        Matcher name = NAME.matcher(url.group(2));
        Upload upload;
        try {
            upload = new Upload(
                    name.find() ? URLDecoder.decode(name.group(1), StandardCharsets.UTF_8) : "",
                    url.group(1),
                    url.group(3));
            Base64.getDecoder().decode(upload.content);
        } catch (IllegalArgumentException notBase64) {
            throw new BadInput(field, text, "this is no file in Base64; choose it again");
        }
        if (upload.content.length() / 4 * 3 > LARGEST) {
            throw new BadInput(field, upload.name, "it is larger than " + (LARGEST >> 20) + " MB; give a smaller one");
        }
        return upload;
    }

    public byte[] bytes() {
        return Base64.getDecoder().decode(content);
    }

    /** As a data URL. */
    @Override
    public String toString() {
        return "data:" + mediaType + ";name=" + URLEncoder.encode(name, StandardCharsets.UTF_8) + ";base64," + content;
    }
}
