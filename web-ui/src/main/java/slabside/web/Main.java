package slabside.web;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
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
        CommandLine line = new CommandLine(new Commands(out, err));
        line.setOut(new java.io.PrintWriter(out, true));
        line.setErr(new java.io.PrintWriter(err, true));
        line.setCaseInsensitiveEnumValuesAllowed(true);
        line.setParameterExceptionHandler((wrong, given) -> {
            err.println(
                    "slabside: " + wrong.getMessage() + ". See: slabside " + name(wrong.getCommandLine()) + "--help");
            return REFUSED;
        });
        line.setExecutionExceptionHandler((failed, command, parsed) -> {
            if (failed instanceof BadInput || failed instanceof LogTrouble) {
                err.println("slabside: " + failed.getMessage());
                return failed instanceof BadInput ? REFUSED : FAILED;
            }
            err.println("slabside: something went wrong that was not foreseen: " + failed + Trouble.keep(failed));
            return FAILED;
        });
        return line.execute(arguments);
    }

    private static String name(CommandLine command) {
        return command.getParent() == null ? "" : command.getCommandName() + " ";
    }
}
