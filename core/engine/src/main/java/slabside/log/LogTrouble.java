package slabside.log;

/** The log cannot be opened, read or written as asked; the message is one sentence that says what to do. */
public class LogTrouble extends RuntimeException {
    private static final long serialVersionUID = 1L;

    public LogTrouble(String message) {
        super(message);
    }

    public LogTrouble(String message, Throwable cause) {
        super(message, cause);
    }
}
