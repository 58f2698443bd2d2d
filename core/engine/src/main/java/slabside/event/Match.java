package slabside.event;

/** Against the OK proof. */
public enum Match {
    LIGHTER,
    MATCH,
    DARKER
}
