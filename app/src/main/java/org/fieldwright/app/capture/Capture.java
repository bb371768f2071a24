package org.fieldwright.app.capture;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Consumer;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.SurveyWriter;
import org.fieldwright.adapters.instrument.ProbeAnswer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.adapters.instrument.ReaderProfile;
import org.fieldwright.adapters.instrument.ReaderProfileFile;
import org.fieldwright.app.capture.CaptureEvent.Begun;
import org.fieldwright.app.capture.CaptureEvent.Taken;
import org.fieldwright.app.capture.CaptureEvent.VisitBegun;
import org.fieldwright.app.capture.CaptureEvent.VisitDone;
import org.fieldwright.app.capture.CaptureEvent.WindowSet;
import org.fieldwright.app.capture.CaptureEvent.Withdrawn;
import org.fieldwright.app.capture.CaptureState.Visit;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.TurnWatch;
import org.jspecify.annotations.Nullable;

/**
 * A survey while it is taken. Every reading is on the disk, in the journal beside the survey's
 * file, before anything else is done with it; opened again after whatever happened, the capture
 * goes on where it stopped. For one thread.
 */
public final class Capture implements Closeable {
  private final CaptureRequest request;
  private final Magnet magnet;
  private final CapturePlan plan;
  private final CaptureJournal journal;
  private final CaptureState state;
  private final CaptureWindow window;
  private final ProbeReader reader;
  private final Clock clock;
  private final Consumer<String> notes;
  private final Announcer announcer;
  private final List<String> warnings = new ArrayList<>(); // of calibrations that have lapsed
  private @Nullable Integer repeated; // step whose failed probes are asked for
  private @Nullable TurnWatcher turn; // while it is watched for one

  private Capture(
      CaptureRequest request,
      Magnet magnet,
      CaptureJournal journal,
      ProbeReader reader,
      Clock clock,
      Consumer<String> notes) {
    this.request = request;
    this.magnet = magnet;
    this.plan = CapturePlan.of(request.anglesDeg(), request.order());
    this.journal = journal;
    this.state = journal.state();
    this.window = new CaptureWindow(reader, magnet.array(), request.expectedPpm(), journal);
    this.reader = reader;
    this.clock = clock;
    this.notes = notes;
    this.announcer = new Announcer(magnet.array());
  }

  /**
   * What the person is to do next.
   *
   * @param angleDeg where the array is to stand
   * @param revisit whether it stood there before
   * @param failedOnly whether only the probes that did not lock there are to be read
   * @param number of this reading of the array, from 1
   * @param of how many
   */
  public record Ask(double angleDeg, boolean revisit, boolean failedOnly, int number, int of) {}

  /**
   * Begins a capture, or goes on with one.
   *
   * @param notes hears of troubles that were overcome
   */
  public static Capture open(CaptureRequest request, Clock clock, Consumer<String> notes)
      throws IOException {
    Magnet magnet = Equipment.magnet(request.magnetFile());
    ReaderProfile profile = ReaderProfileFile.read(request.instrumentFile());
    if (Files.exists(request.survey()) && !Files.exists(request.journal())) {
      throw new BadInput(
          request.survey() + ": found a survey of this name, expected the name of a new one");
    }
    double gamma = magnet.array().gammaMHzPerT();
    ProbeReader reader = ProbeReader.open(profile, gamma, notes);
    try {
      CaptureJournal journal = CaptureJournal.open(request.journal());
      Capture capture = new Capture(request, magnet, journal, reader, clock, notes);
      try {
        capture.begin(profile);
        return capture;
      } catch (IOException | RuntimeException e) {
        journal.close();
        throw e;
      }
    } catch (IOException | RuntimeException e) {
      reader.close();
      throw e;
    }
  }

  private void begin(ReaderProfile profile) throws IOException {
    String digest = InputDigest.sha256(request.magnetFile());
    Begun begun = state.begun();
    Map<String, String> remarks = Equipment.remarks(magnet, profile, reader.identity());
    warnings.addAll(Equipment.warnings(remarks, clock.instant()));
    if (begun == null) {
      journal.keep(
          new Begun(
              digest,
              plan.anglesDeg(),
              String.valueOf(request.instrumentFile().getFileName()),
              request.expectedPpm(),
              remarks));
      return;
    }
    if (!begun.magnetSha256().equals(digest) || !begun.anglesDeg().equals(plan.anglesDeg())) {
      throw new BadInput(
          "%s: found a survey begun with another magnet file or other angles, expected the same; or give --out another name"
              .formatted(request.journal()));
    }
    notes.accept(
        "Going on after %d of %d: %s"
            .formatted(state.doneCount(), plan.steps(), request.journal()));
    announcer.restart(settings(1));
    window.restore();
  }

  /** What to do next; null when everything is read. */
  public @Nullable Ask next() {
    int step = nextStep();
    return step == plan.steps()
        ? null
        : new Ask(
            plan.angleDeg(step), plan.isRevisit(step), repeated != null, step + 1, plan.steps());
  }

  private int nextStep() {
    return repeated != null ? repeated : state.nextStep(plan.steps());
  }

  /**
   * Reads the array, which stands at the angle that {@link #next} asks for. What was read before
   * something went wrong is kept; called again, it reads the rest.
   *
   * @return what the person must hear
   */
  public List<Remark> take() throws IOException {
    return take(() -> {});
  }

  /**
   * The same.
   *
   * @param afterEach hears of each probe that was read
   */
  List<Remark> take(Runnable afterEach) throws IOException {
    int step = nextStep();
    turn = null;
    Visit visit = visit(step);
    reader.atAngle(plan.angleDeg(step));
    List<Remark> said = new ArrayList<>();
    Consumer<String> note = text -> said.add(Remark.note(text));
    window.find(note);
    read(visit, missing(visit, repeated != null), afterEach);
    window.widen(visit, probes -> read(visit, probes, () -> {}), note);
    journal.keep(new VisitDone(visit.number()));
    repeated = null;
    said.addAll(announcer.after(settings(1)));
    return said;
  }

  /** Probes that a visit still lacks. */
  private List<Integer> missing(Visit visit, boolean failedToo) {
    List<Integer> missing = new ArrayList<>();
    for (Probe probe : magnet.array().probes()) {
      Taken taken = visit.taken().get(probe.id());
      if (taken == null || (failedToo && taken.field() == null)) {
        missing.add(probe.id());
      }
    }
    return missing;
  }

  /**
   * Looks whether the array was turned to the angle asked for and has come to rest, by one reading
   * of one probe.
   */
  public TurnWatch.State watch() throws IOException {
    TurnWatcher watcher = turn;
    if (watcher == null) {
      watcher = new TurnWatcher(reader, magnet.array(), state.restless(magnet.array()));
      turn = watcher;
    }
    return watcher.look(plan.angleDeg(nextStep()));
  }

  /** The visit of a step, begun if there is none. */
  private Visit visit(int step) throws IOException {
    if (state.visitOf(step) == null) {
      journal.keep(new VisitBegun(state.nextNumber(), step));
    }
    return Objects.requireNonNull(state.visitOf(step));
  }

  private void read(Visit visit, List<Integer> probes, Runnable afterEach) throws IOException {
    if (!probes.isEmpty()) {
      reader.read(
          probes,
          answers -> {
            journal.keep(taken(visit.number(), answers));
            afterEach.run();
          });
    }
  }

  private List<Taken> taken(int visit, List<ProbeAnswer> answers) {
    List<Instant> times = ReadingTimes.of(answers.size(), clock, state.latest());
    List<Taken> taken = new ArrayList<>();
    for (int i = 0; i < answers.size(); i++) {
      taken.add(taken(visit, answers.get(i), times.get(i)));
    }
    return taken;
  }

  private static Taken taken(int visit, ProbeAnswer a, Instant time) {
    return new Taken(visit, a.probe(), a.field(), a.sd(), a.averages(), a.locked(), time);
  }

  private List<List<Reading>> settings(int firstRow) {
    return state.settings(plan, magnet.array(), firstRow);
  }

  /** Takes back the last reading of the array, whole or not; it is asked for again. */
  public void undo() throws IOException {
    Visit last = state.last();
    if (last == null) {
      throw new BadInput("undo: nothing was taken yet");
    }
    withdraw(last);
  }

  /**
   * Asks for an angle once more, but only for the probes that did not lock there; the others keep
   * what they read.
   */
  public void repeatFailed(double angleDeg) {
    for (int step = plan.steps() - 1; step >= 0; step--) {
      Visit visit = state.visitOf(step);
      if (visit != null
          && visit.done()
          && CapturePlan.same(plan.angleDeg(step), angleDeg)
          && visit.taken().values().stream().anyMatch(t -> t.field() == null)) {
        repeated = step;
        turn = null;
        return;
      }
    }
    throw new BadInput(
        "repeat: every probe locked at %s, or it was not taken yet"
            .formatted(Announcer.degrees(angleDeg)));
  }

  /** Takes back every reading of an angle; it is asked for again. */
  public void retake(double angleDeg) throws IOException {
    boolean any = false;
    for (int step = 0; step < plan.steps(); step++) {
      Visit visit = state.visitOf(step);
      if (visit != null && CapturePlan.same(plan.angleDeg(step), angleDeg)) {
        withdraw(visit);
        any = true;
      }
    }
    if (!any) {
      throw new BadInput("retake: %s was not taken yet".formatted(Announcer.degrees(angleDeg)));
    }
  }

  private void withdraw(Visit visit) throws IOException {
    repeated = null;
    turn = null;
    journal.keep(new Withdrawn(visit.number()));
    announcer.restart(settings(1));
  }

  /** What someone looking on wants to know. */
  public CaptureView view() {
    return CaptureView.of(
        next(), plan, state, magnet.array().probes().size(), announcer.standing(), warnings);
  }

  /** Writes the survey; the journal, whose readings it now holds, goes. */
  public Path finish() throws IOException {
    Begun begun = state.begun();
    if (begun == null || next() != null) {
      throw new IllegalStateException("not everything is read");
    }
    Map<String, String> remarks = new LinkedHashMap<>(begun.remarks());
    WindowSet searched = state.window();
    if (searched != null) {
      remarks.put("window_MHz", "%.6f %.6f".formatted(searched.lowMHz(), searched.highMHz()));
    }
    List<Reading> readings = new ArrayList<>();
    settings(remarks.size() + 2).forEach(readings::addAll); // below the remarks and the header
    Survey survey =
        new Survey(
            String.valueOf(request.survey().getFileName()),
            Survey.Kind.TURNING_ARRAY,
            readings,
            true,
            remarks,
            List.of());
    AtomicFile.write(request.survey(), SurveyWriter.write(survey, magnet.array().gammaMHzPerT()));
    journal.close();
    Files.delete(request.journal());
    return request.survey();
  }

  @Override
  public void close() throws IOException {
    try {
      reader.close();
    } finally {
      journal.close();
    }
  }
}
