package slabside.web;

import java.io.IOException;
import java.util.List;
import java.util.Locale;
import slabside.measure.BadInput;

/** Opens a page in the user's browser, where there is one. */
final class Browser {
    private Browser() {}

    /** Tries; a machine without a browser just keeps the address on the screen. */
    static boolean open(String address) {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        List<String> command = os.contains("win")
                ? List.of("rundll32", "url.dll,FileProtocolHandler", address)
                : os.contains("mac") ? List.of("open", address) : List.of("xdg-open", address);
        if (!address.startsWith("http://127.0.0.1:")) {
            throw new BadInput("address", address, "only pages of this machine are opened");
        }
        try {
            new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            return true;
        } catch (IOException none) {
            return false;
        }
    }
}
