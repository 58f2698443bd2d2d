package slabside.web;

import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** Which devices are let in, how another comes in, and who is at this one. */
final class DevicesPage {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);
    private static final DateTimeFormatter MINUTE = DateTimeFormatter.ofPattern("HH:mm", Locale.ENGLISH);

    private final Desk desk;
    private final Supplier<List<String>> addresses;
    private final Optional<StudioCertificates.Served> served;

    DevicesPage(Desk desk, Supplier<List<String>> addresses, Optional<StudioCertificates.Served> served) {
        this.desk = desk;
        this.addresses = addresses;
        this.served = served;
    }

    /** A device that was let in. */
    public record Row(String id, String name, String may, String since, String person) {}

    /**
     * @param addresses where other devices reach the studio; empty when the local network is not let in
     * @param code that a device may come in with now, or an empty text
     * @param picture of the first address and the code, as SVG
     */
    public record Shown(
            Frame frame,
            List<String> addresses,
            List<Row> devices,
            String code,
            String codeMay,
            String until,
            String picture,
            String fingerprint) {}

    Shown page() {
        Optional<Devices.Invitation> open = desk.devices.invitation();
        List<String> all = addresses.get();
        List<String> outside = all.stream()
                .filter(address -> !address.contains("//127.") && !address.contains("//localhost"))
                .toList();
        List<String> reached = outside.isEmpty() ? all : outside;
        return new Shown(
                desk.frame("Devices", "safekeeping"),
                reached,
                desk.devices.all().stream().map(this::row).toList(),
                open.map(Devices.Invitation::code).orElse(""),
                open.map(invitation -> may(invitation.kind())).orElse(""),
                open.map(invitation -> MINUTE.format(
                                Instant.ofEpochMilli(invitation.until()).atZone(desk.zone)))
                        .orElse(""),
                open.isPresent() && !reached.isEmpty()
                        ? Pictures.code(reached.get(0) + "/join#" + open.get().code())
                        : "",
                served.map(StudioCertificates.Served::fingerprint).orElse(""));
    }

    private Row row(Devices.Device device) {
        return new Row(
                device.id(),
                device.name(),
                may(device.kind()),
                DAY.format(Instant.ofEpochMilli(device.since()).atZone(desk.zone)),
                device.person().isEmpty() ? "" : desk.studio.name(new ThingId(device.person())));
    }

    private static String may(Devices.Kind kind) {
        return kind == Devices.Kind.KEEP ? "may write" : "may look";
    }

    void invite(Form form) {
        if (addresses.get().isEmpty()) {
            throw new BadInput(
                    "network", "not let in", "start the studio with: slabside serve --network; then pair a device");
        }
        desk.devices.invite(form.constant("may", Devices.Kind.class));
    }

    /**
     * The page on which a device comes in.
     *
     * @param fingerprint of the studio's certificate
     */
    public record Joining(Frame frame, String fingerprint) {}

    Joining joining() {
        return new Joining(
                desk.frame("Pair this device", ""),
                served.map(StudioCertificates.Served::fingerprint).orElse(""));
    }

    /** Who is at this device. */
    public record Who(Frame frame, List<Desk.Choice> people) {}

    Who who(Map<String, List<String>> query) {
        return new Who(desk.frame("Who is at this device?", ""), desk.people());
    }

    /** From now on what this device writes is by somebody else; an empty name is nobody. */
    void at(Form form) {
        Visitor visitor = desk.visitor();
        String person = form.text("person");
        String name = form.text("name");
        if (!name.isEmpty()) {
            ThingId known = desk.studio.people().all().entrySet().stream()
                    .filter(each -> each.getValue().equals(name))
                    .map(each -> new ThingId(each.getKey()))
                    .findFirst()
                    .orElseGet(() -> desk.studio.ids().thing("person"));
            if (!visitor.writes()) {
                throw new BadInput("name", name, "a device that only looks cannot add people; choose one");
            }
            desk.studio.people().name(known, name);
            desk.devices.at(visitor.device(), known);
        } else if (person.isEmpty()) {
            desk.devices.at(visitor.device(), Studio.SOMEBODY);
        } else if (desk.studio.people().all().containsKey(person)) {
            desk.devices.at(visitor.device(), new ThingId(person));
        } else {
            throw new BadInput("person", person, "choose one of those on the page, or type a name");
        }
    }
}
