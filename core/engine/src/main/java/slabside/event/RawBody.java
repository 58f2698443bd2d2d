package slabside.event;

/** The whole new body of an amended event, as JSON, kept as it was written whatever its type. */
public record RawBody(String json) {}
