package slabside.web;

import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.time.temporal.ChronoUnit;
import slabside.measure.BadInput;

/** Moments as they are typed, the same on pages and on the command line. */
final class Times {
    private Times() {}

    /** The last millisecond of the day, minute or second that was typed, such as 2024-05-31 or 2024-05-31T14:05. */
    static long endOf(String field, String typed, ZoneId zone) {
        try {
            if (!typed.contains("T")) {
                return LocalDate.parse(typed)
                                .plusDays(1)
                                .atStartOfDay(zone)
                                .toInstant()
                                .toEpochMilli()
                        - 1;
            }
            boolean seconds = typed.substring(typed.indexOf('T'))
                            .chars()
                            .filter(c -> c == ':')
                            .count()
                    > 1;
            return LocalDateTime.parse(typed)
                            .truncatedTo(ChronoUnit.SECONDS)
                            .plus(1, seconds ? ChronoUnit.SECONDS : ChronoUnit.MINUTES)
                            .atZone(zone)
                            .toInstant()
                            .toEpochMilli()
                    - 1;
        } catch (DateTimeParseException wrong) {
            throw new BadInput(field, typed, "write a day as 2024-05-31 or a moment as 2024-05-31T14:05");
        }
    }
}
