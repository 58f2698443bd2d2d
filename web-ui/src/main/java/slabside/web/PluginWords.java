package slabside.web;

import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.event.EventCodec;
import slabside.host.DroppedIn;
import slabside.plugin.Answer;

/** Plugins that were dropped in, as they are listed. */
final class PluginWords {
    private PluginWords() {}

    static Answer answer(Path folder, List<DroppedIn.Listed> listed) {
        Answer answer = Answer.titled("Plugins");
        answer = listed.isEmpty()
                ? answer.text("There is no plugin in " + folder + ".")
                : answer.with(new Answer.Table(
                        "In " + folder,
                        List.of("file", "state", "offers", "why", "last error", "ms spent"),
                        listed.stream()
                                .map(each -> List.of(
                                        each.file(),
                                        EventCodec.word(each.state()).replace('-', ' '),
                                        Stream.concat(
                                                        each.offers().stream().map(card -> card.id()),
                                                        each.events().stream())
                                                .collect(Collectors.joining(", ")),
                                        each.why(),
                                        each.error(),
                                        String.valueOf(each.millis())))
                                .toList()));
        return answer.caution("An approved plugin runs in a process of its own: a fault, an endless loop or an exit of"
                + " it cannot reach the log. That isolates faults, not malice: it has the rights of whoever runs the studio, and"
                + " may read and write that person's files. Approve only what you trust.");
    }
}
