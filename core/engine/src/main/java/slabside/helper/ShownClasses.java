package slabside.helper;

import java.util.Set;

/**
 * What a plugin may see of everything that runs here: the JDK, the contract and the science; nothing of the helper's own code
 * and libraries.
 */
final class ShownClasses extends ClassLoader {
    private static final Set<String> PACKAGES =
            Set.of("slabside.measure", "slabside.plugin", "slabside.statistics", "org.jspecify.annotations");

    private final ClassLoader own;

    ShownClasses(ClassLoader own) {
        super(ClassLoader.getPlatformClassLoader());
        this.own = own;
    }

    @Override
    protected Class<?> findClass(String name) throws ClassNotFoundException {
        int dot = name.lastIndexOf('.');
        if (dot > 0 && PACKAGES.contains(name.substring(0, dot))) {
            return own.loadClass(name);
        }
        throw new ClassNotFoundException(name + " is not shown to plugins");
    }
}
