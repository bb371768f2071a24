package org.fieldwright.core.stability;

import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The field against time, as one probe at the magnet saw it.
 *
 * <p>Columns are primitive arrays, 8 bytes a value: ten million samples of time and field take 160
 * MB, each further column 80 MB (the probe column 40 MB). While {@link Builder} makes them, one
 * column is there twice. The arrays are shared, not copied: nobody writes to them once the log is
 * built.
 */
public final class FieldLog {
  /** A log whose probe changes more often than this follows no single probe. */
  static final int MOST_PROBE_CHANGES = 30;

  private final Instant start;
  private final int size;
  private final double[] time;
  private final double[] field;
  private final int @Nullable [] probe;
  private final double @Nullable [] current;
  private final double @Nullable [] temperature;
  private final double @Nullable [] pressure;
  private final Map<String, String> remarks;

  private FieldLog(Builder b) {
    if (b.size == 0 || b.start == null) {
      throw new BadInput("the field log holds no sample; at least one row is needed");
    }
    this.start = b.start;
    this.size = b.size;
    this.time = b.time.take();
    this.field = b.field.take();
    this.probe = b.probe == null ? null : b.probe.takeWhole();
    this.current = taken(b.current);
    this.temperature = taken(b.temperature);
    this.pressure = taken(b.pressure);
    this.remarks = Map.copyOf(b.remarks);
  }

  private static double @Nullable [] taken(@Nullable Column column) {
    return column == null ? null : column.take();
  }

  /** When the first sample was taken. */
  public Instant start() {
    return start;
  }

  /** Number of samples, those without a lock included. */
  public int size() {
    return size;
  }

  /** Seconds since {@link #start()}, strictly increasing. Not to be written to. */
  public double[] time() {
    return time;
  }

  /** Field, T; NaN where there was no lock. Not to be written to. */
  public double[] field() {
    return field;
  }

  /** Id of the probe that read each sample; null if the log names none. Not to be written to. */
  public int @Nullable [] probe() {
    return probe;
  }

  /** Magnet current, A; NaN where missing; null if not logged. Not to be written to. */
  public double @Nullable [] current() {
    return current;
  }

  /** Temperature, °C; NaN where missing; null if not logged. Not to be written to. */
  public double @Nullable [] temperature() {
    return temperature;
  }

  /** Air pressure, hPa; NaN where missing; null if not logged. Not to be written to. */
  public double @Nullable [] pressure() {
    return pressure;
  }

  /** The {@code # key: value} lines before the header. */
  public Map<String, String> remarks() {
    return remarks;
  }

  /** First samples of another probe than the one before, in order. */
  int[] probeChanges() {
    int[] by = probe;
    return by == null
        ? new int[0]
        : IntStream.range(1, size).filter(i -> by[i] != by[i - 1]).toArray();
  }

  /**
   * The probes that read in turn, by id; empty where the log follows one, even if it was exchanged
   * now and then.
   *
   * @throws BadInput if they read in turn and some samples do not say who took them
   */
  public List<Integer> probesInTurn() {
    int[] by = probe;
    if (by == null || probeChanges().length <= MOST_PROBE_CHANGES) {
      return List.of();
    }
    long unnamed = Arrays.stream(by).filter(id -> id == Builder.NO_PROBE).count();
    if (unnamed > 0) {
      throw new BadInput(
          "several probes read in turn in this log, and %d samples name none; every sample needs its probe"
              .formatted(unnamed));
    }
    return Arrays.stream(by).distinct().sorted().boxed().toList();
  }

  /**
   * What one probe of the log read.
   *
   * @throws BadInput if it read nothing
   */
  public FieldLog ofProbe(int id) {
    Builder one = new Builder().remarks(remarks);
    for (int i = 0; probe != null && i < size; i++) {
      if (probe[i] == id) {
        Instant at = at(time[i]);
        one.add(
            at.getEpochSecond(),
            at.getNano(),
            field[i],
            id,
            at(current, i),
            at(temperature, i),
            at(pressure, i));
      }
    }
    if (one.size == 0) {
      throw new BadInput("the field log holds no sample of probe " + id);
    }
    return one.build();
  }

  private static double at(double @Nullable [] column, int i) {
    return column == null ? Double.NaN : column[i];
  }

  /** From the first sample to the last, s. */
  public double duration() {
    return time[size - 1];
  }

  /** The instant of this many seconds after the start. */
  public Instant at(double seconds) {
    return start.plusNanos(Math.round(seconds * 1e9));
  }

  /**
   * Takes samples one by one, in the order of time. Columns are created at the first value that is
   * not missing, so an absent column costs nothing.
   */
  public static final class Builder {
    /** Marks a probe that is not named. */
    public static final int NO_PROBE = Integer.MIN_VALUE;

    private @Nullable Instant start;
    private int size;
    private double last;
    private final Column time = new Column();
    private final Column field = new Column();
    private @Nullable Column probe;
    private @Nullable Column current;
    private @Nullable Column temperature;
    private @Nullable Column pressure;
    private Map<String, String> remarks = Map.of();

    /** What heads the log. */
    public Builder remarks(Map<String, String> lines) {
      remarks = Map.copyOf(lines);
      return this;
    }

    /** Samples taken so far. */
    public int size() {
      return size;
    }

    /** A sample of time and field alone. */
    public Builder add(long epochSecond, int nano, double fieldTesla) {
      return add(epochSecond, nano, fieldTesla, NO_PROBE, Double.NaN, Double.NaN, Double.NaN);
    }

    /**
     * A sample with everything that may be logged beside it.
     *
     * @param epochSecond seconds of the instant
     * @param nano nanoseconds of the instant
     * @param fieldTesla T; NaN where there was no lock
     * @param probeId {@link #NO_PROBE} if not named
     * @param currentA NaN if missing
     * @param temperatureC NaN if missing
     * @param pressureHPa NaN if missing
     * @throws BadInput if the time does not come after that of the sample before; the message names
     *     times but not the file and row, which the reader knows
     */
    public Builder add(
        long epochSecond,
        int nano,
        double fieldTesla,
        int probeId,
        double currentA,
        double temperatureC,
        double pressureHPa) {
      if (start == null) {
        start = Instant.ofEpochSecond(epochSecond, nano);
      }
      double seconds = (epochSecond - start.getEpochSecond()) + 1e-9 * (nano - start.getNano());
      requireLater(epochSecond, nano, seconds);
      last = seconds;
      time.add(seconds);
      field.add(fieldTesla);
      probe = put(probe, probeId, NO_PROBE);
      current = put(current, currentA, Double.NaN);
      temperature = put(temperature, temperatureC, Double.NaN);
      pressure = put(pressure, pressureHPa, Double.NaN);
      size++;
      return this;
    }

    private void requireLater(long epochSecond, int nano, double seconds) {
      if (size > 0 && !(seconds > last)) {
        Instant found = Instant.ofEpochSecond(epochSecond, nano);
        boolean same = seconds == last;
        throw new BadInput(
            same
                ? "time "
                    + found
                    + " appears twice; every sample needs a time of its own, and a"
                    + " field log follows one probe at a time"
                : "time "
                    + found
                    + " is "
                    + (last - seconds)
                    + " s before the sample above it; samples must be in the order of time (a clock"
                    + " set back in between must be corrected first)");
      }
    }

    private @Nullable Column put(@Nullable Column column, double value, double missing) {
      Column into = column;
      if (into == null) {
        if (Double.compare(value, missing) == 0) {
          return null;
        }
        into = new Column();
        for (int i = 0; i < size; i++) {
          into.add(missing);
        }
      }
      into.add(value);
      return into;
    }

    /** The finished log; the builder is not to be used again. */
    public FieldLog build() {
      return new FieldLog(this);
    }
  }
}
