package slabside.event;

/**
 * An event of a type or version that this program does not know, or whose body it cannot read. Stored, hashed, exported
 * and shown as it stands; no calculation uses it.
 *
 * @param body JSON as written
 */
public record UnknownEvent(String type, int version, String body) implements StudioEvent {}
