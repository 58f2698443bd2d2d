package slabside.web;

/**
 * What every page has around it.
 *
 * @param section which of the sections this belongs to, or an empty text
 */
public record Frame(String title, String section) {}
