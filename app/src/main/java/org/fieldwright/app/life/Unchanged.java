package org.fieldwright.app.life;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import org.fieldwright.app.KeyLocks;

/**
 * What was read from files, kept until their size or time changes: a long log takes seconds. Who
 * asks while a file is being read waits for it.
 */
public final class Unchanged<T> {
  private final Map<Path, Known<T>> known = new ConcurrentHashMap<>();
  private final KeyLocks locks = new KeyLocks();

  /** What tells that a file is the same. */
  private record Stamp(Path file, long bytes, FileTime written) {}

  private record Known<T>(List<Stamp> stamps, T value) {}

  /** Reads a file. */
  @FunctionalInterface
  public interface Reading<T> {
    T of(Path path) throws IOException;
  }

  /**
   * What a file holds.
   *
   * @param beside files that the reading depends on as well
   * @param worthKeeping what is read again next time where it says no
   */
  public T of(Path path, Collection<Path> beside, Reading<T> reading, Predicate<T> worthKeeping)
      throws IOException {
    Path file = path.toAbsolutePath();
    synchronized (locks.of(file)) {
      List<Stamp> stamps = new ArrayList<>(List.of(stamp(file)));
      for (Path other : beside) {
        stamps.add(stamp(other.toAbsolutePath()));
      }
      Known<T> before = known.get(file);
      if (before != null && before.stamps.equals(stamps)) {
        return before.value;
      }
      T value = reading.of(file);
      if (worthKeeping.test(value)) {
        known.put(file, new Known<>(List.copyOf(stamps), value));
      }
      return value;
    }
  }

  private static Stamp stamp(Path file) throws IOException {
    return new Stamp(file, Files.size(file), Files.getLastModifiedTime(file));
  }
}
