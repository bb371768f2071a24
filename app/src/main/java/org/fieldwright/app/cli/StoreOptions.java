package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.regex.Pattern;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** Which store: {@code [--data DIR] [--store ADDRESS]}. */
@picocli.CommandLine.Command
final class StoreOptions {
  private static final Pattern SECRET =
      Pattern.compile("[?&](ssl)?password=", Pattern.CASE_INSENSITIVE);

  @Option(
      names = "--data",
      paramLabel = "DIR",
      description = "Where magnets are kept; default $XDG_DATA_HOME/fieldwright.")
  private @Nullable Path data;

  @Option(
      names = "--store",
      paramLabel = "ADDRESS",
      description =
          "A PostgreSQL database that several servers share,"
              + " jdbc:postgresql://HOST/DATABASE?user=NAME; the password in ~/.pgpass. Default: a"
              + " database of its own in DIR.")
  private @Nullable String store;

  Path data() {
    return data == null ? userData() : data;
  }

  /** Address of a database; null = the one in the data directory. */
  @Nullable String store() {
    if (store != null && SECRET.matcher(store).find()) {
      throw new BadInput(
          "--store: found a password; everybody on this machine can read a command line. Leave it"
              + " out and put a line HOST:5432:DATABASE:NAME:PASSWORD into ~/.pgpass, readable by"
              + " you alone");
    }
    return store;
  }

  private static Path userData() {
    String xdg = System.getenv("XDG_DATA_HOME");
    Path base =
        xdg == null || xdg.isEmpty()
            ? Path.of(System.getProperty("user.home"), ".local", "share")
            : Path.of(xdg);
    return base.resolve("fieldwright");
  }
}
