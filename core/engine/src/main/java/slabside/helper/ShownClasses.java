package slabside.helper;

import java.util.Set;

/**
 * What a plugin may see of everything that runs here: the JDK, the contract and the science; nothing of the helper's own code
 * and libraries. It is the system loader of the helper's process too, so that a library which asks that one sees no more.
 */
public final class ShownClasses extends ClassLoader {
    private static final Set<String> PACKAGES = Set.of(
            "slabside.measure",
            "slabside.plugin",
            "slabside.statistics",
            "slabside.colour",
            "slabside.body",
            "slabside.looks",
            "org.jspecify.annotations");
    /** With which the process is started; shown by the system loader alone, which cannot start it otherwise. */
    private static final String ENTRY = "slabside.helper.Helper";

    private final ClassLoader own;
    private final boolean system;

    /**
     * As the system loader.
     *
     * @param own which has everything on the path
     */
    public ShownClasses(ClassLoader own) {
        this(own, true);
    }

    ShownClasses(ClassLoader own, boolean system) {
        super(ClassLoader.getPlatformClassLoader());
        this.own = own;
        this.system = system;
    }

    @Override
    protected Class<?> findClass(String name) throws ClassNotFoundException {
        int dot = name.lastIndexOf('.');
        if (dot > 0 && PACKAGES.contains(name.substring(0, dot)) || system && name.equals(ENTRY)) {
            return own.loadClass(name);
        }
        throw new ClassNotFoundException(name + " is not shown to plugins");
    }
}
