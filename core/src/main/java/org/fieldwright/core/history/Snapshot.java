package org.fieldwright.core.history;

import java.time.Instant;
import java.util.List;
import org.fieldwright.core.correction.LoadedChange;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * What one survey says of a magnet at one time of its life.
 *
 * @param file the survey
 * @param visit to which it belongs
 * @param loadedSince what was loaded since the survey before it; null where nothing was
 */
public record Snapshot(
    String file,
    String visit,
    Instant time,
    FieldModel model,
    List<LimitResult> limits,
    @Nullable LoadedChange loadedSince) {

  public Snapshot {
    limits = List.copyOf(limits);
  }

  Snapshot withLoadedSince(@Nullable LoadedChange loaded) {
    return new Snapshot(file, visit, time, model, limits, loaded);
  }
}
