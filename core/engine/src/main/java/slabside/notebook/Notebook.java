package slabside.notebook;

import java.util.List;
import slabside.log.Draft;

/**
 * What a notebook would bring into the log.
 *
 * @param drafts in the order of its rows; empty when there are problems
 * @param rows read, the heading not counted
 * @param fresh of them, not imported before
 * @param problems everything that must be put right in the file first
 * @param remarks what was taken for granted
 */
public record Notebook(List<Draft> drafts, int rows, int fresh, List<Problem> problems, List<String> remarks) {
    /**
     * @param line of the file, the heading being 1
     * @param column as headed
     */
    public record Problem(long line, String column, String value, String remedy) {
        @Override
        public String toString() {
            return "line " + line + ", column \"" + column + "\": \"" + value + "\": " + remedy;
        }
    }

    public Notebook {
        drafts = List.copyOf(drafts);
        problems = List.copyOf(problems);
        remarks = List.copyOf(remarks);
    }
}
