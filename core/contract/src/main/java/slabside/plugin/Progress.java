package slabside.plugin;

/** How far long work has come, told to whoever waits for it; and where that work learns that nobody waits any more. */
@FunctionalInterface
public interface Progress {
    /** Tells nobody, and is never called off. */
    Progress NONE = (share, words) -> {};

    /**
     * Says how far the work has come. Say it at least every ten seconds: work that says nothing for longer than its deadline
     * is ended.
     *
     * @param share done, 0 to 1
     * @param words what is being done, such as "edition 3 of 12"
     * @throws CalledOff when nobody waits any more; let it pass
     */
    void at(double share, String words);

    /** Nobody waits for this work any more. */
    final class CalledOff extends RuntimeException {
        private static final long serialVersionUID = 1L;

        public CalledOff() {
            super("it was called off");
        }
    }
}
