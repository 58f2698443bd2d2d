package slabside.log;

/**
 * A line as exported.
 *
 * @param number of the line in the file it came from, for messages
 * @param hash 64 hexadecimal digits
 */
public record ForeignLine(int number, String hash, String line) {}
