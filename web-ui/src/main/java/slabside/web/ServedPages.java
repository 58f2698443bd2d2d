package slabside.web;

import slabside.bench.Bench;
import slabside.studio.Studio;

/** The pages of a studio, served for as long as something is tried on them. */
record ServedPages(Server server) implements Bench.Pages {
    static ServedPages of(Studio studio) {
        return new ServedPages(Server.start(studio, 0));
    }

    @Override
    public String address() {
        return server.address();
    }

    @Override
    public void close() {
        server.close();
    }
}
