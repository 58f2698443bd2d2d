package slabside.log;

/**
 * The newest event of a chain.
 *
 * @param hash 64 hexadecimal digits
 */
public record Head(String origin, long oseq, String hash) {
    /** Short enough to print on paper and compare by eye. */
    public String fingerprint() {
        return hash.substring(0, 4) + "-" + hash.substring(4, 8) + "-" + hash.substring(8, 12);
    }
}
