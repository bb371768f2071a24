package org.fieldwright.adapters.instrument;

import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.adapters.text.Unit;
import org.jspecify.annotations.Nullable;

/**
 * How to talk to one reader.
 *
 * @param file the profile's own name, for messages
 * @param name as people call the reader
 * @param lineEnding of what is sent; answers end with it too, a carriage return before it or not
 * @param identification null if the reader is not asked who it is
 * @param setup sent after every connection
 * @param errors null if the reader keeps no queue of errors
 * @param window sent to set the range of frequency, with {@code {low_MHz}} and {@code {high_MHz}};
 *     null if it cannot be set
 * @param atAngle sent when the array stands at an angle, with {@code {angle_deg}}; null if the
 *     reader need not know
 * @param checksum whether lines, both ways, end in {@code *} and a CRC-16 of what stands before
 * @param calibrated date of the last calibration; null if unknown
 * @param calibrationIntervalMonths null if none is set
 */
public record ReaderProfile(
    String file,
    String name,
    Transport transport,
    String lineEnding,
    @Nullable Identification identification,
    List<String> setup,
    @Nullable ErrorQueue errors,
    @Nullable String window,
    @Nullable String atAngle,
    Query query,
    boolean checksum,
    Patience patience,
    @Nullable LocalDate calibrated,
    @Nullable Integer calibrationIntervalMonths) {

  /** Whether it reads the current of the magnet instead of probes. */
  public boolean readsCurrent() {
    Unit unit = query.valueUnit();
    return unit != null && unit.quantity() == Unit.Quantity.CURRENT;
  }

  static final String PROBE = "{probe}";
  static final String ANGLE = "{angle_deg}";
  static final String LOW = "{low_MHz}";
  static final String HIGH = "{high_MHz}";

  public ReaderProfile {
    setup = List.copyOf(setup);
  }

  /** Where the reader is. */
  public sealed interface Transport {
    /** A TCP socket. */
    record Tcp(String host, int port) implements Transport {
      @Override
      public String toString() {
        return host + ":" + port;
      }
    }

    /** A serial port; {@code parity} is none, even or odd. */
    record Serial(String port, int baud, int dataBits, String parity, int stopBits)
        implements Transport {
      @Override
      public String toString() {
        return port;
      }
    }
  }

  /**
   * Who the reader says it is (IEEE 488.2, 10.14).
   *
   * @param holds text that the answer must hold; null = any answer
   */
  public record Identification(String ask, @Nullable String holds) {}

  /**
   * Where the reader keeps what it could not do.
   *
   * @param none how the answer starts when there is nothing
   */
  public record ErrorQueue(String ask, String none) {}

  /**
   * How readings are asked for and what the answer means.
   *
   * @param choose sent before each question, to choose a probe; null if not needed
   * @param ask the question
   * @param answer what the items are, in order; repeated as long as the answer goes on
   * @param separator between items
   * @param valueUnit null where the answer holds the unit
   * @param sdUnit of the standard deviation of one repeat; null where none is given
   * @param noLock values that mean that no line was found
   */
  public record Query(
      @Nullable String choose,
      String ask,
      List<Item> answer,
      char separator,
      @Nullable Unit valueUnit,
      @Nullable Unit sdUnit,
      List<String> noLock) {
    public Query {
      answer = List.copyOf(answer);
      noLock = List.copyOf(noLock);
    }

    /** Whether each probe is asked for by itself; otherwise one question reads them all. */
    public boolean probeByProbe() {
      return ask.contains(PROBE) || (choose != null && choose.contains(PROBE));
    }
  }

  /** What an item of an answer is. */
  public enum Item {
    PROBE("probe"),
    VALUE("value"),
    UNIT("unit"),
    SD("sd"),
    AVERAGES("averages"),
    LOCKED("locked"),
    IGNORED("ignored");

    private final String word;

    Item(String word) {
      this.word = word;
    }

    /** As the profile spells it. */
    String word() {
      return word;
    }

    static Item ofWord(String word) {
      return Arrays.stream(values()).filter(i -> i.word.equals(word)).findFirst().orElseThrow();
    }
  }

  /**
   * How long to wait and how often to try.
   *
   * @param timeoutMs for one answer
   * @param retries of one question after the first failed
   * @param pauseMs before connecting again
   * @param reconnectMs for how long to try to connect again before giving up
   */
  public record Patience(int timeoutMs, int retries, int pauseMs, int reconnectMs) {}
}
