package slabside.web;

import io.javalin.http.Context;
import io.javalin.http.UploadedFile;
import java.io.IOException;
import java.io.InputStream;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.host.Host;
import slabside.host.Proposals;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Importer;
import slabside.plugin.Question;
import slabside.plugin.Report;
import slabside.plugin.Upload;
import slabside.views.Told;

/** Every calculator, report and importer gets its form, its answer and what can be done with it from what it declares. */
final class CalculatorPage {
    /** Names an answer that is held, in a link; no question has an id like it. */
    static final String HELD = "_held";
    /** Size of the paper. */
    private static final String SIZE = "_size";

    /** Stands in the link to an answer to which nothing had to be replied. */
    static final String ASKED = "_asked";

    /** For so long a page waits before it says that the work goes on. */
    private static final long PATIENCE_MS = 5_000;
    /** A link that is longer is kept by its key alone. */
    private static final int LONGEST_LINK = 3_000;

    private static final int PAST_USES = 10;
    private static final int PAST_LOOKED_AT = 300;

    private final Desk desk;
    private final Work work;
    private final CalculatorForm form;
    private final Supplier<String> address;

    /**
     * @param address at which the pages are served, for the codes on paper
     */
    CalculatorPage(Desk desk, Work work, Supplier<String> address) {
        this.address = address;
        this.desk = desk;
        this.work = work;
        this.form = new CalculatorForm(desk);
    }

    /** What there is to ask, by what it is about. */
    public record Listed(Frame frame, List<Group> groups) {}

    /**
     * @param id to jump to
     */
    public record Group(String id, String title, List<Card> cards) {}

    private static final String DOCUMENTS = "Papers to print";
    private static final String REPORTS = "Reports of your own plugins";
    private static final List<String> PAPERS = List.of(DOCUMENTS, REPORTS);

    /** What bundled calculators are about, by their package, in the order in which a print is made. */
    private static final Map<String, String> ABOUT = new LinkedHashMap<>();

    static {
        ABOUT.put("slabside.planning", "Planning");
        ABOUT.put("slabside.quantity", "Amounts");
        ABOUT.put("slabside.swatch", "Colour");
        ABOUT.put("slabside.knife", "Body of ink");
        ABOUT.put("slabside.rolled", "Rollers and blends");
        ABOUT.put("slabside.audit", "What went wrong");
        ABOUT.put("slabside.documents", DOCUMENTS);
    }

    private static final String IMPORTERS = "Bring in a file";
    private static final String OTHERS = "From your own plugins";

    /**
     * @param documents papers only; else all but them
     */
    Listed list(boolean documents) {
        Map<String, List<Card>> byTitle = new LinkedHashMap<>();
        ABOUT.values().forEach(title -> byTitle.put(title, new ArrayList<>()));
        for (String title : List.of(REPORTS, OTHERS, IMPORTERS)) {
            byTitle.put(title, new ArrayList<>());
        }
        for (Calculator each : desk.studio.host().calculators()) {
            byTitle.computeIfAbsent(about(each), any -> new ArrayList<>()).add(each.card());
        }
        List<Group> groups = new ArrayList<>();
        byTitle.forEach((title, cards) -> {
            if (!cards.isEmpty() && documents == PAPERS.contains(title)) {
                cards.sort(Comparator.comparing(Card::title));
                groups.add(new Group(title.toLowerCase(Locale.ROOT).replace(' ', '-'), title, List.copyOf(cards)));
            }
        });
        String title = documents ? "Documents" : "Calculators";
        return new Listed(desk.frame(title, title.toLowerCase(Locale.ROOT)), List.copyOf(groups));
    }

    private static String section(Calculator calculator) {
        return PAPERS.contains(about(calculator)) ? "documents" : "calculators";
    }

    private static String about(Calculator each) {
        return each instanceof Importer
                ? IMPORTERS
                : ABOUT.getOrDefault(each.getClass().getPackageName(), each instanceof Report ? REPORTS : OTHERS);
    }

    /**
     * An answer with what can be done with it.
     *
     * @param key by which it is held
     * @param link leads to it again
     * @param formats links to it in other forms
     * @param keepWith things it may be kept with
     * @param proposed how many entries it proposes
     */
    public record Answered(
            Answer answer,
            String key,
            String link,
            List<Desk.Piece> formats,
            List<Desk.Choice> keepWith,
            int proposed) {}

    /**
     * Something that was kept.
     *
     * @param again asks the same again
     */
    public record Past(String when, String summary, String event, String again) {}

    /**
     * @param problem what is wrong with the replies, or an empty text
     * @param posts whether the form must be posted, for a file or much text
     */
    public record Shown(
            Frame frame,
            Card card,
            List<CalculatorForm.Field> fields,
            Optional<Answered> answered,
            String problem,
            boolean posts,
            List<Past> past) {
        public Shown {
            fields = List.copyOf(fields);
        }
    }

    /**
     * Work that goes on.
     *
     * @param percent done
     * @param next where to look again
     */
    public record Working(Frame frame, Card card, int percent, String words, String key, String next) {}

    /** A page of a template. */
    record Page(String template, Object page) {}

    Page page(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Calculator calculator = desk.studio.host().calculator(id);
        Map<String, String> replies = replies(query);
        String problem = "";
        Optional<Answered> answered = Optional.empty();
        try {
            Optional<Work.Piece> piece = piece(calculator, query, replies);
            if (piece.isPresent()) {
                replies.clear();
                replies.putAll(piece.get().replies());
                Optional<Answer> answer = piece.get().within(PATIENCE_MS);
                if (answer.isEmpty()) {
                    return new Page("working", working(calculator, piece.get()));
                }
                answered = answer.map(given -> answered(calculator, piece.get(), given));
            }
        } catch (BadInput bad) {
            problem = String.valueOf(bad.getMessage());
        }
        return new Page(
                "calculator",
                new Shown(
                        desk.frame(calculator.card().title(), section(calculator)),
                        calculator.card(),
                        form.fields(calculator, replies),
                        answered,
                        problem,
                        CalculatorForm.posts(calculator),
                        past(calculator)));
    }

    private static Map<String, String> replies(Map<String, List<String>> query) {
        Map<String, String> replies = new LinkedHashMap<>();
        query.forEach((name, values) -> {
            if (!name.startsWith("_")) {
                replies.put(name, values.isEmpty() ? "" : values.get(0));
            }
        });
        return replies;
    }

    /** What is asked by its key, or by replies that are complete: a link may fill in a part of the form. */
    private Optional<Work.Piece> piece(
            Calculator calculator, Map<String, List<String>> query, Map<String, String> replies) {
        if (query.containsKey(HELD)) {
            return Optional.of(held(calculator.card().id(), Desk.first(query, HELD)));
        }
        boolean sent = calculator.questions().stream()
                .allMatch(question -> question.isOptional() || replies.containsKey(question.id()));
        return sent && (!replies.isEmpty() || query.containsKey(ASKED))
                ? Optional.of(asked(calculator, replies))
                : Optional.empty();
    }

    private Work.Piece asked(Calculator calculator, Map<String, String> replies) {
        // So that the form shows what was asked, by whatever name.
        Map<String, String> picked = desk.studio.host().picked(calculator, replies);
        picked.values().removeIf(String::isBlank);
        // What stayed as the form had it was taken as a default, and is told as such.
        for (Question<?> question : calculator.questions()) {
            question.preset().ifPresent(preset -> picked.remove(question.id(), preset));
        }
        return work.ask(calculator, picked, desk.studio.log().last());
    }

    /** The question with a key. */
    Work.Piece held(String calculator, String key) {
        return work.find(key)
                .filter(piece -> piece.calculator().equals(calculator))
                .orElseThrow(() ->
                        new BadInput("answer", key, "it is held no more; ask again, then keep it or write it down"));
    }

    /** Asks with replies that were posted, files among them, and gives the address of the answer. */
    String post(String id, Context ctx) {
        desk.studio.views().catchUp();
        Calculator calculator = desk.studio.host().calculator(id);
        Map<String, String> replies = replies(ctx.formParamMap());
        for (Question<?> question : calculator.questions()) {
            UploadedFile file = CalculatorForm.isFile(question) ? ctx.uploadedFile(question.id()) : null;
            if (file != null && file.size() > 0) {
                replies.put(question.id(), upload(question, file));
            }
        }
        return "/calculators/" + id + "?" + HELD + "="
                + asked(calculator, replies).key();
    }

    private static String upload(Question<?> question, UploadedFile file) {
        if (file.size() > Upload.LARGEST) {
            throw new BadInput(
                    question.label(), file.filename(), "it is larger than " + (Upload.LARGEST >> 20) + " MB");
        }
        try (InputStream in = file.content()) {
            String type = file.contentType();
            return Upload.of(file.filename(), type == null ? "" : type.replaceAll(";.*", ""), in.readAllBytes())
                    .toString();
        } catch (IOException cut) {
            throw new BadInput(question.label(), file.filename(), "it did not come through whole; send it again");
        }
    }

    private Working working(Calculator calculator, Work.Piece piece) {
        return new Working(
                desk.frame(calculator.card().title(), "calculators"),
                calculator.card(),
                (int) Math.round(piece.share() * 100),
                piece.words(),
                piece.key(),
                "/calculators/" + calculator.card().id() + "?" + HELD + "=" + piece.key());
    }

    private Answered answered(Calculator calculator, Work.Piece piece, Answer answer) {
        String path = "/calculators/" + calculator.card().id();
        String query = query(calculator, piece);
        List<Desk.Piece> formats = new ArrayList<>();
        for (String format : Drawn.FORMATS) {
            formats.add(new Desk.Piece(format.toUpperCase(Locale.ROOT), path + "/as/" + format + query));
            if (format.equals("pdf")) {
                for (Paper.Size size : List.of(Paper.Size.A5, Paper.Size.LETTER)) {
                    formats.add(new Desk.Piece(
                            "PDF, " + size.css(),
                            path + "/as/pdf" + query + (query.isEmpty() ? "?" : "&") + SIZE + "=" + size.css()));
                }
            }
        }
        return new Answered(
                answer,
                piece.key(),
                path + query,
                formats,
                keepWith(calculator, piece.replies()),
                piece.isWritten() ? 0 : Proposals.of(answer.blocks()).size());
    }

    /** The replies as a link can hold them; the key where they are a file or too long. */
    private static String query(Calculator calculator, Work.Piece piece) {
        String query = query(piece.replies());
        return calculator.questions().stream().anyMatch(CalculatorForm::isFile) || query.length() > LONGEST_LINK
                ? "?" + HELD + "=" + piece.key()
                : query;
    }

    private static String query(Map<String, String> replies) {
        if (replies.isEmpty()) {
            return "?" + ASKED + "=1";
        }
        return "?"
                + new TreeMap<>(replies)
                        .entrySet().stream()
                                .map(each -> URLEncoder.encode(each.getKey(), StandardCharsets.UTF_8) + "="
                                        + URLEncoder.encode(each.getValue(), StandardCharsets.UTF_8))
                                .collect(Collectors.joining("&"));
    }

    /** The things that were picked. */
    private List<Desk.Choice> keepWith(Calculator calculator, Map<String, String> replies) {
        return calculator.questions().stream()
                .filter(question -> !question.picks().isEmpty()
                        && !question.picks().contains(Host.READING)
                        && !replies.getOrDefault(question.id(), "").isEmpty())
                .map(question -> desk.thing(replies.getOrDefault(question.id(), "")))
                .map(thing -> new Desk.Choice(thing.id().text(), form.called(thing)))
                .distinct()
                .toList();
    }

    /** An answer in another form. */
    void as(String id, String format, Context ctx) {
        desk.studio.views().catchUp();
        Calculator calculator = desk.studio.host().calculator(id);
        Map<String, List<String>> query = ctx.queryParamMap();
        Work.Piece piece = piece(calculator, query, replies(query))
                .orElseThrow(() -> new BadInput(
                        "replies",
                        String.join(", ", query.keySet()),
                        "give a reply to every question that needs one: "
                                + calculator.questions().stream()
                                        .filter(question -> !question.isOptional())
                                        .map(Question::id)
                                        .toList()));
        Answer answer = piece.within(Long.MAX_VALUE).orElseThrow();
        Paper.Size size = Paper.Size.named(query.containsKey(SIZE) ? Desk.first(query, SIZE) : "A4");
        byte[] bytes = Paper.as(
                format,
                answer,
                calculator.card(),
                new Paper.Sheet(size, address.get(), Paper.Sheet.told(desk.studio.log())));
        ctx.header(
                        "Content-Disposition",
                        "inline; filename=\"" + id + "." + (format.equals("text") ? "txt" : format) + "\"")
                .contentType(
                        switch (format) {
                            case "pdf" -> "application/pdf";
                            case "json" -> "application/json";
                            case "csv" -> "text/csv; charset=utf-8";
                            default -> "text/plain; charset=utf-8";
                        })
                .result(bytes);
    }

    /** Answers of this calculator that were kept, newest first. */
    private List<Past> past(Calculator calculator) {
        return desk.studio.views().ofType("log.answer-kept", PAST_LOOKED_AT).stream()
                .filter(told -> ((LogEvent.AnswerKept) told.event())
                        .calculator()
                        .equals(calculator.card().id()))
                .limit(PAST_USES)
                .map(told -> past(calculator, told))
                .toList();
    }

    private Past past(Calculator calculator, Told told) {
        LogEvent.AnswerKept kept = (LogEvent.AnswerKept) told.event();
        ThingId thing = kept.thing();
        return new Past(
                desk.answers.when(told),
                (thing == null ? "" : desk.studio.name(thing) + ": ") + kept.summary(),
                "/event/" + told.id().text(),
                kept.replies().isEmpty()
                        ? ""
                        : "/calculators/" + calculator.card().id() + query(kept.replies()));
    }
}
