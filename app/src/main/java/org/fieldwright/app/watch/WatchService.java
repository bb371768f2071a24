package org.fieldwright.app.watch;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.Consumer;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.app.watch.Watched.Input;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.magnetostatics.Constants;
import org.fieldwright.core.stability.FieldLog;
import org.fieldwright.core.stability.StabilityAnalysis;
import org.fieldwright.core.stability.StabilityReport;
import org.jspecify.annotations.Nullable;

/** Reads a field log and judges what it shows. */
public final class WatchService {

  /**
   * Watches a log file.
   *
   * @param magnetFile gives the sample, the nominal field and the limits; null takes a water sample
   *     and ppm of the log's median, and judges nothing
   * @param probe whose samples count; null where the log follows one
   */
  public Watched watch(Path logFile, @Nullable Path magnetFile, @Nullable Integer probe) {
    Given given = given(logFile, magnetFile);
    return watched(given, read(logFile, given.gammaMHzPerT(), probe), probe);
  }

  /**
   * Watches a log file of a magnet; where several probes read in turn, each by itself.
   *
   * @param judged takes what was found of one probe after the other; none but the last is held
   */
  public void watchEach(Path logFile, Path magnetFile, Consumer<Watched> judged) {
    Given given = given(logFile, magnetFile);
    FieldLog whole = read(logFile, given.gammaMHzPerT(), null);
    List<Integer> probes = whole.probesInTurn();
    if (probes.isEmpty()) {
      judged.accept(watched(given, whole, null));
    }
    for (Integer probe : probes) {
      judged.accept(watched(given, whole.ofProbe(probe), probe));
    }
  }

  private record Given(
      String file, @Nullable Magnet magnet, double gammaMHzPerT, List<Input> inputs) {}

  private static Given given(Path logFile, @Nullable Path magnetFile) {
    Magnet magnet = null;
    List<Input> inputs = new ArrayList<>();
    inputs.add(input(logFile));
    if (magnetFile != null) {
      MagnetFile.Loaded loaded = MagnetFile.load(magnetFile);
      magnet = loaded.magnet();
      loaded.sources().forEach(source -> inputs.add(input(source)));
    }
    return new Given(
        String.valueOf(logFile.getFileName()),
        magnet,
        magnet == null ? Constants.SHIELDED_PROTON_MHZ_PER_T : magnet.array().gammaMHzPerT(),
        inputs);
  }

  private static Watched watched(Given given, FieldLog log, @Nullable Integer probe) {
    return new Watched(
        given.file(), given.magnet(), probe, log, report(log, given.magnet()), given.inputs());
  }

  /** The samples of a log of a magnet, unjudged; of one probe if one is named. */
  public FieldLog read(Path logFile, Path magnetFile, @Nullable Integer probe) {
    return read(logFile, MagnetFile.read(magnetFile).array().gammaMHzPerT(), probe);
  }

  private static FieldLog read(Path logFile, double gammaMHzPerT, @Nullable Integer probe) {
    FieldLog whole = FieldLogFile.read(logFile, gammaMHzPerT);
    return probe == null ? whole : whole.ofProbe(probe);
  }

  /** Analyses a log already read, long sums on all processors. */
  public static StabilityReport report(FieldLog log, @Nullable Magnet magnet) {
    ExecutorService pool = Executors.newFixedThreadPool(Runtime.getRuntime().availableProcessors());
    try {
      return StabilityAnalysis.of(
          log,
          magnet == null ? null : magnet.nominalField(),
          magnet == null ? List.of() : magnet.limits(),
          pool);
    } finally {
      pool.shutdown();
    }
  }

  private static Input input(Path file) {
    return new Input(String.valueOf(file.getFileName()), InputDigest.sha256(file));
  }
}
