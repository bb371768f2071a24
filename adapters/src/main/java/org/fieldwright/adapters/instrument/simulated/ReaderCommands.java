package org.fieldwright.adapters.instrument.simulated;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.instrument.simulated.CommandTree.Refused;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.simulation.SimulatedProbes;
import org.jspecify.annotations.Nullable;

/** The commands of the simulated reader, as docs/formats/simulated-reader.md lists them. */
final class ReaderCommands {
  /** What SCPI-1999 answers in place of a number that does not exist (volume 1, 7.2.1.5). */
  private static final String NOT_A_NUMBER = "9.91E+37";

  private final SimulatedProbes probes;
  private final ProbeArray array;
  private final String identity;
  private final StatusModel status = new StatusModel();
  private final CommandTree commands = new CommandTree();
  private final long start = System.nanoTime();
  private boolean answerWaiting;

  ReaderCommands(SimulatedProbes probes, ProbeArray array, String identity) {
    this.probes = probes;
    this.array = array;
    this.identity = identity;
    addCommon();
    addOwn();
  }

  private void addCommon() {
    commands
        .add("*IDN?", 0, a -> identity)
        .add("*CLS", 0, a -> done(status::clear))
        .add("*RST", 0, a -> done(probes::reset))
        .add("*OPC", 0, a -> done(() -> status.event(StatusModel.OPERATION_COMPLETE)))
        .add("*OPC?", 0, a -> "1") // every command is finished before the next is read
        .add("*WAI", 0, a -> null)
        .add("*TST?", 0, a -> "0")
        .add("*ESR?", 0, a -> "" + status.takeEvents())
        .add("*ESE", 1, a -> done(() -> status.enableEvents((int) a[0]), a[0]))
        .add("*ESE?", 0, a -> "" + status.eventsEnabled())
        .add("*SRE", 1, a -> done(() -> status.enableService((int) a[0]), a[0]))
        .add("*SRE?", 0, a -> "" + status.serviceEnabled())
        .add("*STB?", 0, a -> "" + status.statusByte(answerWaiting))
        .add("SYSTem:ERRor[:NEXT]?", 0, a -> status.nextError())
        .add("SYSTem:ERRor:COUNt?", 0, a -> "" + status.errorCount())
        .add("SYSTem:VERSion?", 0, a -> "1999.0");
  }

  private void addOwn() {
    commands
        .add("MEASure:PROBe?", 1, a -> probe(a[0]))
        .add("MEASure:ARRay?", 0, a -> wholeArray())
        .add("SENSe:FREQuency:WINDow", 2, a -> window(a[0], a[1]))
        .add("SENSe:FREQuency:WINDow?", 0, a -> window())
        .add("SIMulation:ANGLe", 1, a -> done(() -> probes.turn(a[0])))
        .add("SIMulation:ANGLe?", 0, a -> "%.6f".formatted(probes.angleDeg()))
        .add("SIMulation:POSition", 3, a -> done(() -> probes.move(metres(a))))
        .add("SIMulation:POSition?", 0, a -> position())
        .add("MEASure:CURRent?", 0, a -> current());
  }

  private static Vec3 metres(double[] mm) {
    return new Vec3(mm[0], mm[1], mm[2]).times(1e-3);
  }

  private String position() {
    Vec3 mm = probes.centre().times(1e3);
    return String.format(Locale.ROOT, "%.4f,%.4f,%.4f", mm.x(), mm.y(), mm.z());
  }

  private String current() throws Refused {
    Double current = probes.current(seconds());
    if (current == null) {
      throw new Refused(-221, "Settings conflict;no ramp is simulated");
    }
    return String.format(Locale.ROOT, "%.6f", current);
  }

  private double seconds() {
    return (System.nanoTime() - start) * 1e-9;
  }

  private static @Nullable String done(Runnable effect) {
    effect.run();
    return null;
  }

  private static @Nullable String done(Runnable effect, double mask) throws Refused {
    if (!(mask >= 0 && mask <= 255)) {
      throw new Refused(-222, "Data out of range");
    }
    return done(effect);
  }

  /**
   * Carries out a line of commands, separated by semicolons; after the first that is refused for
   * its form, the rest of the line is skipped.
   *
   * @return the answers, separated by semicolons; null if nothing was asked
   */
  synchronized @Nullable String run(String line) {
    List<String> answers = new ArrayList<>();
    for (String command : line.split(";", -1)) {
      answerWaiting = !answers.isEmpty();
      try {
        String answer = command.isBlank() ? null : commands.run(command);
        if (answer != null) {
          answers.add(answer);
        }
      } catch (Refused e) {
        status.error(e.number(), e.text());
        if (e.number() > -200) {
          break;
        }
      }
    }
    return answers.isEmpty() ? null : String.join(";", answers);
  }

  /** Notes that a line arrived damaged. */
  synchronized void damaged() {
    status.error(-101, "Invalid character");
  }

  private @Nullable String window(double low, double high) throws Refused {
    if (!probes.window(low, high)) {
      throw new Refused(-222, "Data out of range");
    }
    return null;
  }

  private String window() {
    ProbeArray.Range window = probes.window();
    return "%.6f,%.6f".formatted(window.low(), window.high());
  }

  private String probe(double id) throws Refused {
    if (id != Math.rint(id)) {
      throw new Refused(-222, "Data out of range");
    }
    acquire();
    SimulatedProbes.Shown shown = probes.read((int) id, seconds());
    if (shown == null) {
      throw new Refused(-222, "Data out of range");
    }
    Double frequency = shown.frequencyMHz();
    return frequency == null
        ? "%d,%s,%s,%d,0".formatted((int) id, NOT_A_NUMBER, NOT_A_NUMBER, shown.averages())
        : String.format(
            Locale.ROOT,
            "%d,%.8f,%.3f,%d,%d",
            (int) id,
            frequency,
            shown.sdHz(),
            shown.averages(),
            shown.averages());
  }

  private String wholeArray() throws Refused {
    List<String> answers = new ArrayList<>();
    for (Probe probe : array.probes()) {
      answers.add(probe(probe.id()));
    }
    return String.join(",", answers);
  }

  private void acquire() throws Refused {
    try {
      TimeUnit.NANOSECONDS.sleep(Math.round(probes.secondsPerReading() * 1e9));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new Refused(-200, "Execution error;aborted");
    }
  }
}
