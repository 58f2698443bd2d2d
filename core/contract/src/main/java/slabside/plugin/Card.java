package slabside.plugin;

/**
 * How a plugin's offer introduces itself.
 *
 * @param id kebab-case, used in commands and links; must not change between versions
 * @param asks the question it answers, in a printer's words
 */
public record Card(String id, String title, String asks) {
    public Card {
        if (!id.matches("[a-z][a-z0-9]*(-[a-z0-9]+)*")) {
            throw new slabside.measure.BadInput("calculator id", id, "use small letters, digits and single hyphens");
        }
    }
}
