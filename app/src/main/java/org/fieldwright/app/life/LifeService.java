package org.fieldwright.app.life;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.EventsFile;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.LoadingRecord;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadedChange;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.history.DriftReading;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.Snapshot;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.stability.FieldLog;
import org.jspecify.annotations.Nullable;

/**
 * Reads what a magnet folder tells of the magnet's life and holds its visits against each other.
 */
public final class LifeService {
  private final Unchanged<Visits.Measured> measured = new Unchanged<>();
  private final Unchanged<Drift> drifts = new Unchanged<>();

  /** How a survey of the folder is assessed. */
  @FunctionalInterface
  public interface Assessing {
    Assessment of(Path survey) throws IOException;
  }

  /** The life of the magnet whose file lies in a folder with its surveys, logs and rounds. */
  public Life of(Path magnetFile, Assessing assessing) throws IOException {
    MagnetFile.Loaded loaded = MagnetFile.load(magnetFile);
    Magnet magnet = loaded.magnet();
    Path folder = Objects.requireNonNull(magnetFile.toAbsolutePath().getParent());
    List<Visits.Measured> found = new ArrayList<>();
    for (Path path : files(folder)) {
      FileKind kind = FileKind.of(path);
      if (kind == FileKind.SURVEY || kind == FileKind.FIELD_LOG) {
        found.add(measured(path, kind, magnet));
      }
    }
    List<Visits.Visit> visits = Visits.of(found);
    List<String> warnings = new ArrayList<>();
    List<Life.Survey> surveys = surveys(folder, visits, assessing, warnings);
    List<LoadedRound> rounds = RecordService.rounds(magnetFile);
    List<MagnetEvent> events = EventsFile.beside(magnetFile);
    MagnetLife judged = judged(folder, loaded, visits, surveys, rounds, events, warnings);
    return new Life(
        magnet,
        visits,
        surveys,
        judged,
        events,
        rounds,
        Years.of(visits, surveys, judged, events, rounds, magnet.iron()),
        warnings,
        inputs(folder, loaded, surveys, visits));
  }

  /** When a survey or a log was taken. */
  public Visits.Measured measured(Path path, FileKind kind, Magnet magnet) throws IOException {
    return measured.of(
        path, List.of(), p -> Visits.measured(p, kind, magnet), m -> m.complaint() == null);
  }

  private static List<Path> files(Path folder) throws IOException {
    try (Stream<Path> inside = Files.list(folder)) {
      return inside.filter(Files::isRegularFile).sorted().toList();
    }
  }

  private static List<Life.Survey> surveys(
      Path folder, List<Visits.Visit> visits, Assessing assessing, List<String> warnings)
      throws IOException {
    List<Life.Survey> surveys = new ArrayList<>();
    for (Visits.Visit visit : visits) {
      for (Visits.Measured m : visit.surveys()) {
        try {
          Assessment found = assessing.of(folder.resolve(m.file()));
          surveys.add(new Life.Survey(visit.id(), m, found, null));
          if (m.at() == null) {
            warnings.add(
                "%s: no reading carries a time, so it has no place in the magnet's life."
                    .formatted(m.file()));
          }
        } catch (BadInput e) {
          surveys.add(new Life.Survey(visit.id(), m, null, e.getMessage()));
          warnings.add(
              "%s: left out, as it cannot be assessed: %s".formatted(m.file(), e.getMessage()));
        }
      }
    }
    return surveys;
  }

  private @Nullable MagnetLife judged(
      Path folder,
      MagnetFile.Loaded loaded,
      List<Visits.Visit> visits,
      List<Life.Survey> surveys,
      List<LoadedRound> rounds,
      List<MagnetEvent> events,
      List<String> warnings)
      throws IOException {
    Magnet magnet = loaded.magnet();
    List<Snapshot> snapshots = snapshots(magnet, surveys, rounds, warnings);
    if (snapshots.isEmpty()) {
      return null;
    }
    ProbeArray.Uncertainty stated = magnet.array().uncertainty();
    return MagnetLife.of(
        snapshots,
        drifts(folder, loaded, visits, warnings),
        events,
        magnet.limits(),
        stated.position() == null ? 0 : stated.position(),
        stated.angle() == null ? 0 : stated.angle());
  }

  private static List<Snapshot> snapshots(
      Magnet magnet, List<Life.Survey> surveys, List<LoadedRound> rounds, List<String> warnings) {
    List<Snapshot> snapshots = new ArrayList<>();
    for (Life.Survey s : surveys) {
      Instant at = s.measured().at();
      Assessment found = s.found();
      if (at != null && found != null) {
        LoadedChange loaded =
            snapshots.isEmpty()
                ? null
                : loadedBetween(
                    magnet, snapshots.get(snapshots.size() - 1), at, found.model(), rounds);
        snapshots.add(
            new Snapshot(
                s.measured().file(), s.visit(), at, found.model(), found.limits(), loaded));
      }
    }
    if (snapshots.stream()
        .anyMatch(s -> s.loadedSince() != null && !s.loadedSince().errorsStated())) {
      warnings.add(
          "The magnet file states no `iron.errors`: what was loaded is taken off with its strength"
              + " left open, so changes of that pattern cannot be seen.");
    }
    return snapshots;
  }

  /** What recorded rounds changed between two surveys; null where nothing. */
  private static @Nullable LoadedChange loadedBetween(
      Magnet magnet, Snapshot before, Instant now, FieldModel model, List<LoadedRound> rounds) {
    IronSystem iron = magnet.iron();
    if (iron == null) {
      return null;
    }
    Loading from = loadingAt(before.time(), iron, rounds);
    Loading to = loadingAt(now, iron, rounds);
    return from.equals(to)
        ? null
        : LoadedChange.of(
            iron,
            magnet.fieldAxis(),
            before.model().centreField(),
            from,
            to,
            Math.min(before.model().ppm().degree(), model.ppm().degree()),
            before.model().ppm().referenceRadius());
  }

  /** What lay in the pockets at a time: what is installed now with the rounds since undone. */
  private static Loading loadingAt(Instant time, IronSystem iron, List<LoadedRound> rounds) {
    Map<Place, Integer> counts = new TreeMap<>(iron.installed().counts());
    for (int i = rounds.size() - 1; i >= 0; i--) {
      if (rounds.get(i).time().isAfter(time)) {
        rounds.get(i).steps().forEach(s -> counts.put(s.place(), s.from()));
      }
    }
    return new Loading(counts);
  }

  /**
   * What a log says of the drift.
   *
   * @param drift null if it is too short to tell
   * @param complaint why it cannot be judged; null where it can
   */
  private record Drift(@Nullable Estimate drift, @Nullable String complaint) {}

  private List<DriftReading> drifts(
      Path folder, MagnetFile.Loaded loaded, List<Visits.Visit> visits, List<String> warnings)
      throws IOException {
    List<DriftReading> readings = new ArrayList<>();
    for (Visits.Visit visit : visits) {
      for (Visits.Measured m : visit.logs()) {
        Instant at = m.at();
        if (at != null) {
          Drift found =
              drifts.of(
                  folder.resolve(m.file()),
                  loaded.sources(), // γ, temperature and what the log is vetted by are stated there
                  p -> drift(p, loaded.magnet()),
                  d -> true);
          Estimate drift = found.drift();
          if (drift != null && drift.uncertainty() > 0) {
            readings.add(new DriftReading(m.file(), visit.id(), at, drift));
          }
          if (found.complaint() != null) {
            warnings.add("%s: left out of the drifts: %s".formatted(m.file(), found.complaint()));
          }
        }
      }
    }
    return readings;
  }

  /**
   * A log of several probes, for one, is judged one probe at a time and has no drift of its own.
   */
  private static Drift drift(Path log, Magnet magnet) {
    FieldLog read = FieldLogFile.read(log, magnet.array().gammaMHzPerT());
    try {
      return new Drift(WatchService.report(read, magnet).drift(), null);
    } catch (BadInput e) {
      return new Drift(null, e.getMessage());
    }
  }

  private static List<Assessment.Input> inputs(
      Path folder, MagnetFile.Loaded loaded, List<Life.Survey> surveys, List<Visits.Visit> visits) {
    Set<Path> files = new LinkedHashSet<>(loaded.sources());
    for (String beside : List.of(EventsFile.NAME, LoadingRecord.NAME)) {
      if (Files.exists(folder.resolve(beside))) {
        files.add(folder.resolve(beside));
      }
    }
    surveys.forEach(s -> files.add(folder.resolve(s.measured().file())));
    visits.forEach(v -> v.logs().forEach(l -> files.add(folder.resolve(l.file()))));
    return files.stream()
        .map(f -> new Assessment.Input(String.valueOf(f.getFileName()), InputDigest.sha256(f)))
        .toList();
  }
}
