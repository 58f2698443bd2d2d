package slabside.kit;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Optional;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** The same studio as one that is harder to read. */
final class OtherStudios {
    private static final int PULLS = 2_000;
    private static final int MOMENTS = 20_000;

    private OtherStudios() {}

    /** With entries, grades and roles that no present version knows, as a later one may write them. */
    static StudioView withUnknownEntries(StudioView studio) {
        return changed(studio, (next, answer) -> {
            if (answer instanceof StudioView.Page page && next.isEmpty()) {
                List<StudioView.Moment> more = new ArrayList<>(page.moments());
                more.add(
                        0,
                        new StudioView.Moment(
                                "01890000-0000-7000-8000-000000000099",
                                "guild.danced",
                                9,
                                1,
                                "something that no version knows",
                                List.of("thing-unheard-of"),
                                Json.fields().with("cups", "four")));
                return new StudioView.Page(more, "");
            }
            if (answer instanceof Optional<?> maybe
                    && maybe.isPresent()
                    && maybe.get() instanceof StudioView.RunRecord run) {
                List<StudioView.PullRow> pulls = new ArrayList<>(run.pulls());
                pulls.add(pull(pulls.isEmpty() ? 1 : pulls.get(pulls.size() - 1).number() + 1, "an unknown grade"));
                return Optional.of(with(run, pulls));
            }
            return answer;
        });
    }

    /** With two thousand pulls in each run and twenty thousand entries of every type. */
    static StudioView huge(StudioView studio) {
        return changed(studio, (next, answer) -> {
            if (answer instanceof StudioView.Page page) {
                return filled(page, next);
            }
            if (answer instanceof Optional<?> maybe
                    && maybe.isPresent()
                    && maybe.get() instanceof StudioView.RunRecord run
                    && !run.pulls().isEmpty()) {
                List<StudioView.PullRow> pulls = new ArrayList<>();
                for (int i = 0; i < PULLS; i++) {
                    pulls.add(renumbered(run.pulls().get(i % run.pulls().size()), i + 1));
                }
                return Optional.of(with(run, pulls));
            }
            if (answer instanceof List<?> list && !list.isEmpty() && list.get(0) instanceof StudioView.Reading) {
                return repeated(list, PULLS);
            }
            return answer;
        });
    }

    /** A page that repeats the entries of the first, until there were {@link #MOMENTS}. */
    private static StudioView.Page filled(StudioView.Page first, String next) {
        int before = next.startsWith("more ") ? Integer.parseInt(next.substring(5)) : 0;
        if (first.moments().isEmpty()) {
            return first;
        }
        List<StudioView.Moment> all = new ArrayList<>();
        for (Object each : repeated(first.moments(), StudioView.PAGE)) {
            all.add((StudioView.Moment) each);
        }
        int after = before + all.size();
        return new StudioView.Page(all, after < MOMENTS ? "more " + after : "");
    }

    private static List<?> repeated(List<?> few, int times) {
        List<Object> many = new ArrayList<>();
        for (int i = 0; i < times; i++) {
            many.add(few.get(i % few.size()));
        }
        return Collections.unmodifiableList(many);
    }

    /** What to make of an answer of the studio, and of the place from which a page was asked for. */
    private interface Change {
        Object of(String next, Object answer);
    }

    /** The same studio with other answers; of pages only the first is asked for. */
    private static StudioView changed(StudioView studio, Change change) {
        return (StudioView) Proxy.newProxyInstance(
                StudioView.class.getClassLoader(), new Class<?>[] {StudioView.class}, (proxy, method, given) -> {
                    if (method.isDefault()) {
                        return java.lang.reflect.InvocationHandler.invokeDefault(proxy, method, given);
                    }
                    boolean page = method.getReturnType() == StudioView.Page.class;
                    Object[] asked = page ? new Object[] {given[0], ""} : given;
                    try {
                        return change.of(page ? (String) given[1] : "", method.invoke(studio, asked));
                    } catch (InvocationTargetException failed) {
                        throw failed.getCause();
                    }
                });
    }

    private static StudioView.RunRecord with(StudioView.RunRecord run, List<StudioView.PullRow> pulls) {
        return new StudioView.RunRecord(
                run.run(),
                run.name(),
                run.edition(),
                run.surface(),
                run.open(),
                run.standard(),
                run.outOfBand(),
                pulls,
                run.happenings(),
                run.checks());
    }

    private static StudioView.PullRow pull(int number, String grade) {
        StudioView.PullRow plain = MadeUpStudio.pull(number, number, new LinkedHashMap<>());
        return new StudioView.PullRow(
                plain.event(),
                plain.millis(),
                number,
                "",
                grade,
                false,
                plain.passes(),
                List.of("a fault nobody knows"),
                plain.readings(),
                "",
                "",
                List.of(),
                "",
                Optional.empty());
    }

    private static StudioView.PullRow renumbered(StudioView.PullRow row, int number) {
        return new StudioView.PullRow(
                row.event() + "-" + number,
                row.millis() + number * 60_000L,
                number,
                row.sheet(),
                row.grade(),
                row.secondHit(),
                row.passes(),
                row.faults(),
                row.readings(),
                row.match(),
                row.margin(),
                row.loads(),
                row.impression(),
                row.looked());
    }
}
