package slabside.plugin;

/**
 * An answer that is made to be printed and filed, such as a list of packets or the story of an edition. Asked like a
 * calculator, and listed as a document. Found through one line in {@code META-INF/services/slabside.plugin.Report}.
 */
public interface Report extends Calculator {}
