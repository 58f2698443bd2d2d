package slabside.web;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.event.EventCodec;
import slabside.event.ImpressionKind;
import slabside.views.Sentence;

/** How far an edition has come, and the words of its forms. */
final class EditionWords {
    private final Desk desk;

    EditionWords(Desk desk) {
        this.desk = desk;
    }

    /** How far an edition has come, in one line or two. */
    List<String> standing(Edition edition) {
        Register register = edition.register();
        List<String> lines = new ArrayList<>();
        int printed = edition.printed().size();
        String of = register.declared()
                .map(n -> printed > n ? ", for an edition of " + n : " of " + n)
                .orElse("");
        lines.add("Printed to date " + printed + of + "; numbered " + register.numbered() + ", signed "
                + register.signed() + ", released " + register.released());
        long uncoded = edition.runs().stream()
                .mapToLong(run -> run.pulls().stream()
                        .filter(pull -> pull.number() > 0 && pull.sheet() == null)
                        .count())
                .max()
                .orElse(0);
        if (uncoded > 0) {
            lines.add(uncoded + " pulls without the code of a sheet are not counted here");
        }
        int batches = edition.runs().stream().mapToInt(Run::batches).max().orElse(0);
        if (batches > 1) {
            lines.add("in " + batches + " batches");
        }
        edition.closed().ifPresent(told -> lines.add("closed " + desk.answers.when(told)));
        if (edition.closed().isEmpty()) {
            List<String> stones = edition.runs().stream()
                    .flatMap(run -> desk.studio.runs().stone(run.id()).stream())
                    .distinct()
                    .map(desk.studio.runs()::matrix)
                    .filter(stone -> stone.gummed().isPresent())
                    .map(stone -> desk.studio.name(stone.id()) + " " + desk.state(stone))
                    .toList();
            if (!stones.isEmpty()) {
                lines.add(String.join("; ", stones));
            }
        }
        return lines;
    }

    /** The constants of a type as a form offers them. */
    static <E extends Enum<E>> List<Desk.Choice> choices(Class<E> type) {
        return Arrays.stream(type.getEnumConstants())
                .map(EventCodec::word)
                .map(word -> new Desk.Choice(word, Sentence.read(word)))
                .toList();
    }

    static List<Desk.Choice> proofKinds() {
        return choices(ImpressionKind.class).stream()
                .filter(choice ->
                        !choice.id().equals("numbered") && !choice.id().equals("cancellation-impression"))
                .toList();
    }
}
