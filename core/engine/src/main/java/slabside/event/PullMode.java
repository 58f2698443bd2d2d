package slabside.event;

/** What a pull is for. */
public enum PullMode {
    NEWSPRINT,
    PROOF,
    EDITION,
    CANCELLATION
}
