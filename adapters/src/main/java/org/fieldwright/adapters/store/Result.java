package org.fieldwright.adapters.store;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Something that was computed, with all that is needed to compute it again. It never changes.
 *
 * @param visit null = belongs to the magnet as a whole
 * @param service what computed it, as the command line calls it
 * @param inputs contents that the store keeps, in the order the service takes them
 * @param version of the program
 * @param options a JSON object, as the service takes them
 * @param seed null where nothing random was drawn
 * @param iterations of a search; null where there was none
 */
public record Result(
    String magnet,
    @Nullable String visit,
    String service,
    List<Input> inputs,
    String version,
    String options,
    @Nullable Long seed,
    @Nullable Long iterations,
    Instant computed) {

  public Result {
    inputs = List.copyOf(inputs);
  }

  /** The same, filed under a visit. */
  public Result under(@Nullable String other) {
    return new Result(magnet, other, service, inputs, version, options, seed, iterations, computed);
  }

  /**
   * A content a result was computed from.
   *
   * @param path what the file was called then
   * @param sha256 of the content that was read, whatever lies under that name today
   */
  public record Input(String path, String sha256) {}
}
