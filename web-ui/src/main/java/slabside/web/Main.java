package slabside.web;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import picocli.CommandLine;
import slabside.log.LogTrouble;
import slabside.measure.BadInput;

/** The command line: {@code java -jar slabside.jar COMMAND}. */
public final class Main {
    private static final int REFUSED = 2;
    private static final int FAILED = 1;

    private Main() {}

    public static void main(String[] arguments) {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        PrintStream err = new PrintStream(System.err, true, StandardCharsets.UTF_8);
        System.setOut(out);
        System.setErr(err);
        int code = run(out, err, arguments);
        if (code != 0) {
            System.exit(code);
        }
    }

    /** Runs a command and says how it went: 0 done, 1 failed, 2 refused. Never prints a stack trace. */
    static int run(PrintStream out, PrintStream err, String... arguments) {
        Commands commands = new Commands(out, err);
        // As an app image starts: what reads the other commands takes a fifth of the whole start.
        if (List.of(arguments).equals(List.of("serve", "--open"))) {
            try {
                return commands.serveAsUsual(true);
            } catch (RuntimeException failed) {
                return told(err, failed);
            }
        }
        CommandLine line = new CommandLine(commands);
        line.setOut(new java.io.PrintWriter(out, true));
        line.setErr(new java.io.PrintWriter(err, true));
        line.setCaseInsensitiveEnumValuesAllowed(true);
        line.setParameterExceptionHandler((wrong, given) -> {
            err.println(
                    "slabside: " + wrong.getMessage() + ". See: slabside " + name(wrong.getCommandLine()) + "--help");
            return REFUSED;
        });
        line.setExecutionExceptionHandler((failed, command, parsed) -> told(err, failed));
        return line.execute(arguments);
    }

    private static int told(PrintStream err, Exception failed) {
        if (failed instanceof BadInput || failed instanceof LogTrouble) {
            err.println("slabside: " + failed.getMessage());
            return failed instanceof BadInput ? REFUSED : FAILED;
        }
        err.println("slabside: something went wrong that was not foreseen: " + failed + Trouble.keep(failed));
        return FAILED;
    }

    private static String name(CommandLine command) {
        return command.getParent() == null ? "" : command.getCommandName() + " ";
    }
}
