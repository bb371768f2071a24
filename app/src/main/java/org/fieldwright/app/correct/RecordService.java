package org.fieldwright.app.correct;

import java.nio.file.Path;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.files.LoadingRecord;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSettling;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.LoadedRound.Step;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.LotStock;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * Keeps what was really loaded: each round is added to the record beside the magnet file, and the
 * table of what is installed is brought up to date with it. One call at a time.
 */
public final class RecordService {
  private final Clock clock;

  /**
   * @param clock says when a round was recorded
   */
  public RecordService(Clock clock) {
    this.clock = clock;
  }

  /** The rounds recorded beside a magnet file, the first one first. */
  public static List<LoadedRound> rounds(Path magnetFile) {
    return LoadingRecord.rounds(magnetFile);
  }

  /** What is left of the lots that a magnet file names; empty where it names none. */
  public static List<LotStock> lots(Path magnetFile) {
    return MagnetFile.load(magnetFile).lots();
  }

  /** Every file that recording a round reads or writes, the record first; some may not be there. */
  public static List<Path> files(Path magnetFile) {
    List<Path> files = new ArrayList<>(List.of(LoadingRecord.fileOf(magnetFile)));
    files.addAll(MagnetFile.load(magnetFile).sources());
    return files;
  }

  /**
   * Minutes to wait after a round before the next survey, so that the iron is as warm as the bore.
   *
   * @param kelvin by which it was warmer or colder
   * @param timeConstantMin of its temperature, minutes
   */
  public static double waitingMin(
      Path magnetFile, LoadedRound round, double kelvin, double timeConstantMin) {
    Magnet magnet = MagnetFile.read(magnetFile);
    Volume volume =
        magnet.limits().stream()
            .map(Limit::volume)
            .filter(Objects::nonNull)
            .findFirst()
            .orElseThrow(
                () ->
                    new BadInput(
                        magnetFile
                            + ": states no limit over a volume in which to see the iron settle"));
    Set<Integer> trays =
        round.steps().stream().map(s -> s.place().tray()).collect(Collectors.toSet());
    IronSystem iron = shim(magnetFile).iron();
    return IronSettling.of(
            iron, magnet.fieldAxis(), magnet.nominalField(), iron.installed(), trays, volume)
        .waiting(kelvin, timeConstantMin);
  }

  /**
   * Records that the changes in a file were made.
   *
   * @param changes tray, pocket, piece, count; perhaps from, to, weighed_g and lot
   * @param by who loaded
   * @param note in a few words; may be empty
   */
  public LoadedRound add(Path magnetFile, Path changes, String by, String note) {
    shim(magnetFile); // refuses a magnet without one before anything is written beside it
    try (LoadingRecord record = LoadingRecord.open(magnetFile)) {
      return add(settled(magnetFile, record), changes, by, note);
    }
  }

  private LoadedRound add(State state, Path changes, String by, String note) {
    LoadingFile.Round sheet = LoadingFile.readRound(changes, state.iron());
    Loading before = state.iron().installed();
    for (Place place : sheet.before().differences(before)) {
      throw new BadInput(
          "%s: says that %d of piece %s lay in tray %d, pocket %d; installed are %d. Was this round recorded already?"
              .formatted(
                  changes,
                  sheet.before().count(place),
                  place.piece(),
                  place.tray(),
                  place.pocket(),
                  before.count(place)));
    }
    LoadingFile.Notes notes = LoadingFile.readNotes(changes, state.iron());
    List<Step> steps = new ArrayList<>();
    for (Place place : before.differences(sheet.after())) {
      int change = sheet.after().count(place) - before.count(place);
      String lot = notes.lot().getOrDefault(place, "");
      steps.add(
          new Step(
              place,
              before.count(place),
              sheet.after().count(place),
              notes.weighed().get(place),
              state.lots().taking(changes, place, change, lot)));
    }
    if (steps.isEmpty()) {
      throw new BadInput(changes + ": found no change, expected at least one row with a count");
    }
    return write(state, by, null, note, steps);
  }

  /** Takes back the last round that still stands: what it changed was changed back. */
  public LoadedRound takeBack(Path magnetFile, String by, String note) {
    shim(magnetFile); // refuses a magnet without one before anything is written beside it
    try (LoadingRecord record = LoadingRecord.open(magnetFile)) {
      return takeBack(settled(magnetFile, record), by, note);
    }
  }

  private LoadedRound takeBack(State state, String by, String note) {
    LoadedRound last = lastStanding(state.record().rounds());
    if (last == null) {
      throw new BadInput(state.installedFile() + ": no round is recorded that could be taken back");
    }
    List<Step> steps =
        last.steps().stream()
            .map(s -> new Step(s.place(), s.to(), s.from(), null, s.lot())) // nobody weighed again
            .toList();
    for (Step s : steps) {
      if (state.iron().installed().count(s.place()) != s.from()) {
        throw new BadInput(
            "%s: round %d left %d of piece %s in tray %d, pocket %d, but %d are installed: changed by hand since"
                .formatted(
                    state.installedFile(),
                    last.number(),
                    s.from(),
                    s.place().piece(),
                    s.place().tray(),
                    s.place().pocket(),
                    state.iron().installed().count(s.place())));
      }
    }
    return write(state, by, last.number(), note, steps);
  }

  private static @Nullable LoadedRound lastStanding(List<LoadedRound> rounds) {
    Set<Integer> undone = new HashSet<>();
    for (int i = rounds.size() - 1; i >= 0; i--) {
      LoadedRound round = rounds.get(i);
      if (round.takesBack() != null) {
        undone.add(round.takesBack());
      } else if (!undone.contains(round.number())) {
        return round;
      }
    }
    return null;
  }

  private LoadedRound write(
      State state, String by, @Nullable Integer takesBack, String note, List<Step> steps) {
    LoadedRound round =
        new LoadedRound(
            state.record().rounds().size() + 1,
            clock.instant().truncatedTo(ChronoUnit.SECONDS),
            by,
            takesBack,
            note,
            steps);
    state.record().add(round, state.installedFile(), round.applyTo(state.iron().installed()));
    return round;
  }

  private record Shim(IronSystem iron, Path installedFile, List<LotStock> lots) {}

  private record State(
      IronSystem iron, Path installedFile, LoadingRecord record, LotsOnHand lots) {}

  /** The state of a magnet folder, a round whose last step was prevented made up for. */
  private static State settled(Path magnetFile, LoadingRecord record) {
    Shim found = shim(magnetFile);
    record.settle(found.installedFile(), found.iron());
    Shim now = shim(magnetFile);
    return new State(now.iron(), found.installedFile(), record, new LotsOnHand(now.lots()));
  }

  private static Shim shim(Path magnetFile) {
    MagnetFile.Loaded loaded = MagnetFile.load(magnetFile);
    IronSystem iron = loaded.magnet().iron();
    if (iron == null) {
      throw new BadInput(magnetFile + ": has no section 'iron', so nothing can be loaded");
    }
    Path installed = loaded.installed();
    if (installed == null) {
      throw new BadInput(
          magnetFile
              + ": iron names no table of what is installed; add `installed: installed.csv` there"
              + " and a file installed.csv with the line tray,pocket,piece,count");
    }
    return new Shim(iron, installed, loaded.lots());
  }
}
