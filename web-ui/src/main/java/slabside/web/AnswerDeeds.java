package slabside.web;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import slabside.event.Happened;
import slabside.event.LogEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.host.Proposals;
import slabside.measure.BadInput;
import slabside.plugin.Answer;

/** What is done with an answer: kept as a note, or its proposed entries written down. */
final class AnswerDeeds {
    private static final int LONGEST_SUMMARY = 240;
    /** So that the entry stays below what one may hold, whatever letters it has. */
    private static final int LONGEST_TEXT = 40_000;
    /** Longest reply that is kept to ask again; a file is not. */
    private static final int LONGEST_REPLY = 2_000;

    private static final int MOST_PROPOSED = 250;

    private final Desk desk;
    private final CalculatorPage pages;

    AnswerDeeds(Desk desk, CalculatorPage pages) {
        this.desk = desk;
        this.pages = pages;
    }

    Taps.Meant of(String calculator, String deed, Tap tap) {
        Work.Piece piece = pages.held(calculator, tap.form().need(CalculatorPage.HELD, "send the form of an answer"));
        Answer answer = piece.within(0)
                .orElseThrow(() -> new BadInput("answer", piece.key(), "it is still being worked on; wait for it"));
        return switch (deed) {
            case "keep" -> keep(piece, answer, tap);
            case "write" -> write(piece, answer);
            default -> throw new BadInput("deed", deed, "an answer can be kept, or its entries written down");
        };
    }

    private static Taps.Meant keep(Work.Piece piece, Answer answer, Tap tap) {
        Optional<ThingId> thing = tap.form().thing("thing");
        return Taps.Meant.of(
                "Kept",
                thing.map(id -> "/thing/" + id.text()).orElse("/calculators/" + piece.calculator()),
                kept(piece.calculator(), piece.replies(), answer, thing.orElse(null)));
    }

    /** An answer as it is kept; with the replies, unless one of them is a file. */
    static LogEvent.AnswerKept kept(
            String calculator, Map<String, String> replies, Answer answer, @Nullable ThingId thing) {
        String text = Drawn.text(answer);
        boolean whole = replies.values().stream().allMatch(reply -> reply.length() <= LONGEST_REPLY);
        return new LogEvent.AnswerKept(
                calculator, answer.title(), whole ? replies : Map.of(), thing, summary(answer), cut(text));
    }

    private static String cut(String text) {
        if (text.getBytes(StandardCharsets.UTF_8).length <= LONGEST_TEXT) {
            return text;
        }
        int end = text.length();
        while (text.substring(0, end).getBytes(StandardCharsets.UTF_8).length > LONGEST_TEXT) {
            end = end * 9 / 10;
        }
        return text.substring(0, Character.isHighSurrogate(text.charAt(end - 1)) ? end - 1 : end)
                + "\n… cut here; the link asks for the whole of it\n";
    }

    /** Its quantities, or what it says first. */
    static String summary(Answer answer) {
        StringBuilder summary = new StringBuilder();
        for (Answer.Block block : answer.blocks()) {
            if (block instanceof Answer.Quantity q) {
                summary.append(summary.isEmpty() ? "" : "; ")
                        .append(q.label())
                        .append(' ')
                        .append(Drawn.number(q.value(), q.u()))
                        .append(q.unit().isEmpty() ? "" : " " + q.unit());
            } else if (block instanceof Answer.Text text && summary.isEmpty()) {
                summary.append(text.text());
            }
        }
        return summary.length() > LONGEST_SUMMARY ? summary.substring(0, LONGEST_SUMMARY) + "…" : summary.toString();
    }

    private Taps.Meant write(Work.Piece piece, Answer answer) {
        List<Answer.Proposal> proposals = Proposals.of(answer.blocks());
        if (proposals.isEmpty()) {
            throw new BadInput("answer", answer.title(), "it proposes no entries");
        }
        if (proposals.size() > MOST_PROPOSED) {
            throw new BadInput(
                    "answer",
                    proposals.size() + " entries",
                    "at most " + MOST_PROPOSED + " are written at once; import the file in parts");
        }
        if (piece.isWritten()) {
            throw new BadInput(
                    "answer", answer.title(), "its entries were written down already; ask again for new ones");
        }
        List<StudioEvent> events = Proposals.events(desk.studio.host(), piece.calculator(), proposals);
        piece.write();
        List<Happened> moments = proposals.stream()
                .map(each -> each.millis().isPresent()
                        ? Happened.exactly(each.millis().getAsLong(), desk.zone)
                        : Happened.exactly(desk.studio.log().clock().millis(), desk.zone))
                .toList();
        return new Taps.Meant(
                events,
                List.of(),
                String.format(
                        Locale.ROOT,
                        events.size() == 1 ? "%d entry written down" : "%d entries written down",
                        events.size()),
                "/timeline",
                null,
                moments);
    }
}
