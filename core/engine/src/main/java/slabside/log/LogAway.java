package slabside.log;

/** The database that holds the log does not answer for now; what was asked may be asked again. */
public final class LogAway extends LogTrouble {
    private static final long serialVersionUID = 1L;

    LogAway(String message, Throwable cause) {
        super(message, cause);
    }
}
