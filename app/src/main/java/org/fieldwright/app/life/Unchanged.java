package org.fieldwright.app.life;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import org.fieldwright.app.KeyLocks;

/**
 * What was read from files, kept until a file's size or time changes: a long log takes seconds. Who
 * asks while a file is being read waits for it.
 */
public final class Unchanged<T> {
  private final Map<Path, Known<T>> known = new ConcurrentHashMap<>();
  private final KeyLocks locks = new KeyLocks();

  private record Known<T>(long bytes, FileTime written, T value) {}

  /** Reads a file. */
  @FunctionalInterface
  public interface Reading<T> {
    T of(Path path) throws IOException;
  }

  /**
   * What a file holds.
   *
   * @param worthKeeping what is read again next time where it says no
   */
  public T of(Path path, Reading<T> reading, Predicate<T> worthKeeping) throws IOException {
    Path file = path.toAbsolutePath();
    synchronized (locks.of(file)) {
      return once(file, reading, worthKeeping);
    }
  }

  private T once(Path path, Reading<T> reading, Predicate<T> worthKeeping) throws IOException {
    long bytes = Files.size(path);
    FileTime written = Files.getLastModifiedTime(path);
    Known<T> before = known.get(path);
    if (before != null && before.bytes == bytes && before.written.equals(written)) {
      return before.value;
    }
    T value = reading.of(path);
    if (worthKeeping.test(value)) {
      known.put(path, new Known<>(bytes, written, value));
    }
    return value;
  }
}
