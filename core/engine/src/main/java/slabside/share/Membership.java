package slabside.share;

import com.fasterxml.jackson.annotation.JsonIgnoreProperties;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import slabside.log.LogTrouble;
import slabside.studio.SafeFile;

/**
 * That this machine exchanges a studio through a shared folder; kept in its configuration, for each data folder.
 *
 * @param studio data folder
 * @param folder shared folder
 * @param share id of what is shared
 * @param device id of this machine in it
 * @param name what to call this machine
 * @param chains that this machine wrote
 * @param parted those of them that are known to have been written on elsewhere
 */
@JsonIgnoreProperties(ignoreUnknown = true)
public record Membership(
        String studio,
        String folder,
        String share,
        String device,
        String name,
        List<String> chains,
        List<String> parted) {
    private static final ObjectMapper JSON = new ObjectMapper();

    public Membership {
        chains = List.copyOf(chains);
        parted = List.copyOf(parted);
    }

    private record All(List<Membership> shared) {}

    private static Path file(Path config) {
        return config.resolve("shared.json");
    }

    private static String place(Path data) {
        return data.toAbsolutePath().normalize().toString();
    }

    /** How a studio is shared from this machine, if it is. */
    public static Optional<Membership> of(Path config, Path data) {
        return all(config).stream()
                .filter(each -> each.studio.equals(place(data)))
                .findFirst();
    }

    private static List<Membership> all(Path config) {
        if (!Files.exists(file(config))) {
            return List.of();
        }
        try {
            return List.copyOf(JSON.readValue(file(config).toFile(), All.class).shared);
        } catch (IOException broken) {
            throw new LogTrouble(
                    "The file " + file(config) + " cannot be read: " + broken.getMessage()
                            + ". Delete it and join the shared folder again; nothing recorded is touched.",
                    broken);
        }
    }

    static Membership in(Path data, Path folder, String share, String device, String name) {
        return new Membership(
                place(data), folder.toAbsolutePath().normalize().toString(), share, device, name, List.of(), List.of());
    }

    /** The same, with chains more that this machine wrote. */
    Membership with(Collection<String> more) {
        TreeSet<String> all = new TreeSet<>(chains);
        all.addAll(more);
        return new Membership(studio, folder, share, device, name, List.copyOf(all), parted);
    }

    /** The same under another id, because there may be two machines of this one. */
    Membership as(String another, Collection<String> nowParted) {
        return new Membership(studio, folder, share, another, name, chains, List.copyOf(nowParted));
    }

    void keep(Path config) {
        List<Membership> others = new ArrayList<>(all(config));
        others.removeIf(each -> each.studio.equals(studio));
        others.add(this);
        write(config, others);
    }

    void forget(Path config) {
        List<Membership> others = new ArrayList<>(all(config));
        others.removeIf(each -> each.studio.equals(studio));
        write(config, others);
    }

    private static void write(Path config, List<Membership> all) {
        try {
            Files.createDirectories(config);
            SafeFile.write(file(config), JSON.writerWithDefaultPrettyPrinter().writeValueAsBytes(new All(all)));
        } catch (IOException failed) {
            throw new LogTrouble("The file " + file(config) + " cannot be written: " + failed.getMessage(), failed);
        }
    }
}
