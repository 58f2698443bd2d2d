package slabside.plugin;

/**
 * Reads a file, such as readings saved by an instrument, and proposes entries ({@link Answer.Proposed}) that whoever asked may
 * then write down. Its questions have at least one {@link Question#file} or {@link Question#picture}. Says every line that it
 * cannot read, with its number. Found through one line in {@code META-INF/services/slabside.plugin.Importer}.
 */
public interface Importer extends Calculator {}
