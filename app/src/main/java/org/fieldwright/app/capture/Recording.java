package org.fieldwright.app.capture;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.fieldwright.adapters.files.FieldLogFile;
import org.fieldwright.adapters.files.SurveyWriter;
import org.fieldwright.adapters.instrument.CurrentReader;
import org.fieldwright.adapters.instrument.ProbeAnswer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.adapters.instrument.ReaderProfile;
import org.fieldwright.adapters.instrument.ReaderProfileFile;
import org.fieldwright.adapters.journal.LineFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.stability.Estimate;
import org.fieldwright.core.stability.FieldLog;
import org.fieldwright.core.stability.LiveTrend;
import org.jspecify.annotations.Nullable;

/**
 * A field log while it is recorded. Every reading is on the disk, a line of the log, before
 * anything else is done with it; opened again after whatever happened, the recording goes on and
 * the gap is marked. It only reads: nothing here drives a power supply. For one thread.
 */
public final class Recording implements Closeable {
  private static final String HEADER = "time,probe,frequency_MHz";
  private static final String CURRENT = ",current_A";
  private static final double LEAST_GAP_S = 10;
  private static final double GAP_INTERVALS = 5;

  /** After the reader of current failed, it is left alone for so long. */
  private static final Duration CURRENT_REST = Duration.ofMinutes(1);

  private final RecordRequest request;
  private final Magnet magnet;
  private final double gamma;
  private final List<Integer> probes;
  private final LineFile lines;
  private final ProbeReader reader;
  private final @Nullable CurrentReader ammeter;
  private final Clock clock;
  private final Consumer<String> notes;
  private final FollowingWindow window;
  private final LiveTrend trend;
  private final Alarms alarms;
  private final FieldTrace trace = new FieldTrace();
  private final Map<Integer, Double> first = new HashMap<>();
  private final Map<Integer, Double> round = new HashMap<>();
  private Instant latest = Instant.EPOCH;
  private Instant ammeterRests = Instant.MIN;
  private boolean resumed;
  private double current = Double.NaN;
  private double reference = Double.NaN;
  private long readings;

  private Recording(
      RecordRequest request,
      Magnet magnet,
      LineFile lines,
      ProbeReader reader,
      @Nullable CurrentReader ammeter,
      Clock clock,
      Consumer<String> notes) {
    this.request = request;
    this.magnet = magnet;
    this.lines = lines;
    this.reader = reader;
    this.ammeter = ammeter;
    this.clock = clock;
    this.notes = notes;
    gamma = magnet.array().gammaMHzPerT();
    Integer one = request.probe();
    probes = one == null ? magnet.array().probes().stream().map(Probe::id).toList() : List.of(one);
    window = new FollowingWindow(reader, magnet.array(), probes, request.expectedPpm(), notes);
    trend = new LiveTrend(request.overSeconds());
    alarms = new Alarms(request.alarmPpm(), request.targetMHz(), magnet.limits());
  }

  /**
   * Begins a recording, or goes on with one.
   *
   * @param notes hears of troubles overcome and of lapsed calibrations
   */
  public static Recording open(RecordRequest request, Clock clock, Consumer<String> notes)
      throws IOException {
    Magnet magnet = Equipment.magnet(request.magnetFile());
    Integer one = request.probe();
    if (one != null && magnet.array().probe(one) == null) {
      throw new BadInput(
          "%s: array.probes: found no probe %d, expected the one that is to be read"
              .formatted(request.magnetFile(), one));
    }
    ReaderProfile profile = ReaderProfileFile.read(request.instrumentFile());
    ReaderProfile currents =
        request.currentFile() == null ? null : ReaderProfileFile.read(request.currentFile());
    List<Closeable> opened = new ArrayList<>();
    try {
      LineFile lines = LineFile.open(request.log());
      opened.add(lines);
      ProbeReader reader = ProbeReader.open(profile, magnet.array().gammaMHzPerT(), notes);
      opened.add(reader);
      CurrentReader ammeter = currents == null ? null : CurrentReader.open(currents, notes);
      if (ammeter != null) {
        opened.add(ammeter);
      }
      Recording recording = new Recording(request, magnet, lines, reader, ammeter, clock, notes);
      recording.begin(profile);
      return recording;
    } catch (IOException | RuntimeException e) {
      for (Closeable each : opened) {
        each.close();
      }
      throw e;
    }
  }

  private void begin(ReaderProfile profile) throws IOException {
    Map<String, String> remarks = Equipment.remarks(magnet, profile, reader.identity());
    Equipment.warnings(remarks, clock.instant()).forEach(notes);
    remarks.putAll(request.remarks());
    if (lines.isEmpty() || !hasHeader()) {
      List<String> head = new ArrayList<>(SurveyWriter.remarks(remarks));
      head.add(ammeter == null ? HEADER : HEADER + CURRENT);
      lines.begin(head);
    } else {
      goOn();
    }
    window.find();
  }

  /** False where a process died between making the file and its first line. */
  private boolean hasHeader() throws IOException {
    String wanted = ammeter == null ? HEADER : HEADER + CURRENT;
    try (var all = Files.lines(request.log())) {
      String header = all.filter(l -> !l.startsWith("#")).findFirst().orElse(null);
      if (header != null && !header.equals(wanted)) {
        throw new BadInput(
            "%s: found the columns %s, expected %s, or the name of a new log"
                .formatted(request.log(), header, wanted));
      }
      return header != null;
    }
  }

  private void goOn() throws IOException {
    boolean empty;
    try (var all = Files.lines(request.log())) {
      empty = all.filter(l -> !l.startsWith("#")).skip(1).findAny().isEmpty();
    }
    if (empty) {
      return;
    }
    FieldLog log = FieldLogFile.read(request.log(), gamma);
    int[] by = log.probe();
    for (int i = 0; by != null && i < log.size(); i++) {
      double amperes = log.current() == null ? Double.NaN : log.current()[i];
      absorb(by[i], log.field()[i], amperes, log.at(log.time()[i]));
    }
    resumed = true;
    notes.accept("Going on after %d readings: %s".formatted(readings, request.log()));
  }

  /**
   * Reads every probe once; each reading is in the log before anything else.
   *
   * @return what the person must hear
   */
  public List<String> read() throws IOException {
    round.clear();
    reader.read(probes, this::keep);
    List<@Nullable Double> fields = new ArrayList<>();
    TreeSet<Integer> unlocked = new TreeSet<>();
    for (int probe : probes) {
      Double field = round.get(probe);
      fields.add(field);
      if (field == null) {
        unlocked.add(probe);
      }
    }
    List<String> said = keepSaid(alarms.after(ppm(), frequency(), unlocked));
    window.after(fields);
    return said;
  }

  /** An alarm belongs to the record. */
  private List<String> keepSaid(List<String> said) throws IOException {
    if (!said.isEmpty()) {
      lines.append(said.stream().map(s -> "# " + latest + " " + s).toList());
    }
    return said;
  }

  private void keep(List<ProbeAnswer> answers) throws IOException {
    readCurrent();
    List<String> rows = new ArrayList<>();
    List<Instant> times = ReadingTimes.of(answers.size(), clock, latest);
    double gap = Duration.between(latest, times.get(0)).toMillis() * 1e-3;
    boolean silence = gap > Math.max(LEAST_GAP_S, GAP_INTERVALS * request.intervalSeconds());
    if (readings > 0 && (resumed || silence)) {
      rows.add(
          String.format(
              Locale.ROOT,
              "# gap: %.1f s without a reading%s",
              gap,
              resumed ? ", the recording was begun again" : ""));
    }
    for (int i = 0; i < answers.size(); i++) {
      rows.add(row(times.get(i), answers.get(i)));
    }
    lines.append(rows);
    resumed = false;
    for (int i = 0; i < answers.size(); i++) {
      Double field = answers.get(i).field();
      absorb(answers.get(i).probe(), field == null ? Double.NaN : field, current, times.get(i));
    }
  }

  private String row(Instant time, ProbeAnswer answer) {
    Double field = answer.field();
    String value = field == null ? "" : String.format(Locale.ROOT, "%.8f", field * gamma);
    String row = time + "," + answer.probe() + "," + value;
    if (ammeter == null) {
      return row;
    }
    return row + "," + (Double.isNaN(current) ? "" : String.format(Locale.ROOT, "%.6f", current));
  }

  private void readCurrent() {
    if (ammeter == null || clock.instant().isBefore(ammeterRests)) {
      return;
    }
    try {
      current = ammeter.amperes();
    } catch (IOException e) {
      current = Double.NaN;
      ammeterRests = clock.instant().plus(CURRENT_REST);
      notes.accept(
          e.getMessage()
              + ". The field is recorded without the current; tried again in "
              + CURRENT_REST.toSeconds()
              + " s.");
    }
  }

  private void absorb(int probe, double field, double amperes, Instant time) {
    readings++;
    latest = time;
    if (Double.isNaN(field)) {
      return;
    }
    round.put(probe, field);
    double from = first.computeIfAbsent(probe, p -> field);
    reference = Double.isNaN(reference) ? field : reference;
    double seconds = time.getEpochSecond() + 1e-9 * time.getNano();
    double ppm = (field / from - 1) * 1e6;
    trend.add(seconds, ppm, amperes);
    trace.add(seconds, ppm);
  }

  private @Nullable Double ppm() {
    return round.isEmpty()
        ? null
        : (Double)
            round.entrySet().stream()
                .mapToDouble(e -> (e.getValue() / first.getOrDefault(e.getKey(), 1.0) - 1) * 1e6)
                .average()
                .orElseThrow();
  }

  private @Nullable Double frequency() {
    return round.isEmpty()
        ? null
        : (Double) (round.values().stream().mapToDouble(f -> f).average().orElseThrow() * gamma);
  }

  /**
   * What the recording shows now, and what the drift says beyond it; a few milliseconds.
   *
   * @param say hears of a drift that leaves a limit of the magnet file, or is back
   */
  public Figures figures(Consumer<String> say) throws IOException {
    Estimate drift = trend.ratePpmPerHour();
    keepSaid(alarms.after(drift)).forEach(say);
    Estimate perAmpere = trend.ppmPerAmpere();
    Estimate tesla =
        perAmpere == null
            ? null
            : new Estimate(
                1e-6 * reference * perAmpere.value(), 1e-6 * reference * perAmpere.uncertainty());
    return new Figures(
        latest,
        round.size(),
        probes.size(),
        probes.stream().filter(p -> !round.containsKey(p)).toList(),
        frequency(),
        ppm(),
        drift,
        Double.isNaN(current) ? null : (Double) current,
        tesla,
        toTarget(),
        alarms.standing(),
        readings);
  }

  /** The change of the field so far, for a picture. */
  FieldTrace trace() {
    return trace;
  }

  /** The target as a change of the probes from their first readings. */
  private @Nullable Estimate toTarget() {
    Double target = request.targetMHz();
    Double now = frequency();
    Double ppm = ppm();
    if (target == null || now == null || ppm == null) {
      return null;
    }
    double begun = now / (1 + 1e-6 * ppm);
    return trend.hoursTo((target / begun - 1) * 1e6);
  }

  @Override
  public void close() throws IOException {
    try (lines;
        reader) {
      if (ammeter != null) {
        ammeter.close();
      }
    }
  }
}
