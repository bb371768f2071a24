package org.fieldwright.adapters.instrument;

import java.io.Closeable;
import java.io.IOException;
import java.io.InterruptedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.fieldwright.adapters.instrument.ReaderProfile.ErrorQueue;
import org.fieldwright.adapters.instrument.ReaderProfile.Identification;
import org.fieldwright.adapters.instrument.ReaderProfile.Query;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * A reader as its profile describes it. A question whose answer does not come, comes garbled or is
 * about another probe is asked again over a fresh connection, so that a late answer cannot be taken
 * for that to a later question. After each connection everything the reader had been told is told
 * again, because it may have been switched off and on.
 *
 * <p>For one thread.
 */
public final class ProbeReader implements Closeable {
  private static final int MOST_ERRORS = 50;
  private static final int STRAY_LINES = 100;

  private final ReaderProfile profile;
  private final AnswerParser parser;
  private final Consumer<String> notes;
  private @Nullable LineLink link;
  private @Nullable String windowCommand;
  private @Nullable String angleCommand;
  private String identity = "";

  private ProbeReader(ReaderProfile profile, double gammaMHzPerT, Consumer<String> notes) {
    this.profile = profile;
    this.parser = new AnswerParser(profile.query(), gammaMHzPerT);
    this.notes = notes;
  }

  /**
   * Connects, asks who is there and sets the reader up.
   *
   * @param gammaMHzPerT of the sample, for readers that answer with frequencies
   * @param notes hears of every trouble that was overcome
   * @throws BadInput if another reader answers, or this one refuses a command of the profile
   * @throws IOException if nobody answers
   */
  public static ProbeReader open(ReaderProfile profile, double gammaMHzPerT, Consumer<String> notes)
      throws IOException {
    if (profile.readsCurrent()) {
      throw new BadInput(
          profile.file() + ": read.value_unit: found A, expected a unit of frequency or field");
    }
    return connected(profile, gammaMHzPerT, notes);
  }

  /** A reader of whatever the profile says. */
  static ProbeReader connected(ReaderProfile profile, double gammaMHzPerT, Consumer<String> notes)
      throws IOException {
    ProbeReader reader = new ProbeReader(profile, gammaMHzPerT, notes);
    for (int failures = 0; ; failures++) {
      try {
        reader.connect();
        return reader;
      } catch (IOException e) {
        reader.recover(e, failures);
      }
    }
  }

  /** What the reader says of itself; empty if it is not asked. */
  public String identity() {
    return identity;
  }

  /** Whether the range of frequency can be set. */
  public boolean hasWindow() {
    return profile.window() != null;
  }

  /** Sets the range that is searched for a line, MHz. */
  public void window(double lowMHz, double highMHz) throws IOException {
    String template = profile.window();
    if (template != null) {
      windowCommand =
          template
              .replace(ReaderProfile.LOW, decimal(lowMHz))
              .replace(ReaderProfile.HIGH, decimal(highMHz));
      tell(windowCommand);
    }
  }

  /** Says that the array stands at this angle, where the reader wants to know. */
  public void atAngle(double angleDeg) throws IOException {
    String template = profile.atAngle();
    if (template != null) {
      angleCommand = template.replace(ReaderProfile.ANGLE, decimal(angleDeg));
      tell(angleCommand);
    }
  }

  private static String decimal(double value) {
    return String.format(Locale.ROOT, "%.6f", value);
  }

  /**
   * Reads probes.
   *
   * @param taken gets what each answer of the reader holds as soon as it is there: one probe, or
   *     all of them where one question reads every probe; an exception of it ends the reading
   */
  public void read(List<Integer> probes, Taken taken) throws IOException {
    Query query = profile.query();
    if (!query.probeByProbe()) {
      taken.accept(ask(query.choose(), query.ask(), probes));
      return;
    }
    for (int probe : probes) {
      String choose = query.choose();
      String chosen = choose == null ? null : choose.replace(ReaderProfile.PROBE, "" + probe);
      String question = query.ask().replace(ReaderProfile.PROBE, "" + probe);
      taken.accept(ask(chosen, question, List.of(probe)));
    }
  }

  /** Reads one probe. */
  public ProbeAnswer read(int probe) throws IOException {
    List<ProbeAnswer> answers = new ArrayList<>();
    read(List.of(probe), answers::addAll);
    return answers.get(0);
  }

  /** Gets what was read, in the order asked for. */
  @FunctionalInterface
  public interface Taken {
    void accept(List<ProbeAnswer> answers) throws IOException;
  }

  private List<ProbeAnswer> ask(@Nullable String choose, String question, List<Integer> probes)
      throws IOException {
    for (int failures = 0; ; failures++) {
      LineLink open = connected();
      try {
        if (choose != null) {
          open.send(choose);
        }
        return parser.parse(question(open, question), probes);
      } catch (IOException e) {
        recover(e, failures);
      }
    }
  }

  private void tell(String command) throws IOException {
    for (int failures = 0; ; failures++) {
      LineLink open = connected();
      try {
        open.send(command);
        refuseErrors(open, command);
        return;
      } catch (IOException e) {
        recover(e, failures);
      }
    }
  }

  /** Drops the connection, so that nothing of it is taken for an answer to come. */
  private void recover(IOException e, int failures) throws IOException {
    drop();
    if (failures >= profile.patience().retries()) {
      String where =
          "%s: %s at %s: ".formatted(profile.file(), profile.name(), profile.transport());
      if (e instanceof Refusal) {
        throw new BadInput(where + e.getMessage(), e);
      }
      throw new IOException(where + e.getMessage() + times(failures + 1), e);
    }
    notes.accept(profile.name() + ": " + e.getMessage() + "; connecting again");
  }

  private static String times(int count) {
    return count == 1 ? "" : ", " + count + " times in a row";
  }

  /** The reader understood, and does not do it; after several times a mistake of the profile. */
  private static final class Refusal extends IOException {
    private static final long serialVersionUID = 1L;

    Refusal(String message) {
      super(message);
    }
  }

  /** The open connection, or a new one for which it tries as long as the profile says. */
  private LineLink connected() throws IOException {
    if (link != null) {
      return link;
    }
    long start = System.nanoTime();
    while (true) {
      try {
        return connect();
      } catch (IOException e) {
        drop();
        long waited = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - start);
        if (waited + profile.patience().pauseMs() > profile.patience().reconnectMs()) {
          throw new IOException(
              "%s at %s does not come back: %s"
                  .formatted(profile.name(), profile.transport(), e.getMessage()),
              e);
        }
        pause();
      }
    }
  }

  private void pause() throws InterruptedIOException {
    try {
      TimeUnit.MILLISECONDS.sleep(profile.patience().pauseMs());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InterruptedIOException("interrupted while waiting for the reader");
    }
  }

  private LineLink connect() throws IOException {
    LineLink open = new LineLink(Wire.open(profile), profile.lineEnding(), profile.checksum());
    link = open;
    identify(open);
    List<String> commands = new ArrayList<>(profile.setup());
    if (windowCommand != null) {
      commands.add(windowCommand);
    }
    if (angleCommand != null) {
      commands.add(angleCommand);
    }
    for (String command : commands) {
      open.send(command);
      refuseErrors(open, command);
    }
    return open;
  }

  /** Lines before the right one are late answers of an earlier connection (serial ports). */
  private void identify(LineLink open) throws IOException {
    Identification identification = profile.identification();
    if (identification == null) {
      return;
    }
    String holds = identification.holds();
    open.send(identification.ask());
    String answer = open.receive(profile.patience().timeoutMs());
    for (int stray = 0; holds != null && !answer.contains(holds); stray++) {
      if (stray == STRAY_LINES) {
        throw new IOException("no end of lines that were not asked for");
      }
      try {
        answer = open.receive(profile.patience().timeoutMs());
      } catch (IOException e) {
        throw new Refusal(
            "the answer to %s is %s and does not hold %s"
                .formatted(identification.ask(), Found.quoted(answer), Found.quoted(holds)));
      }
    }
    identity = answer;
  }

  private void refuseErrors(LineLink open, String command) throws IOException {
    ErrorQueue queue = profile.errors();
    List<String> errors = new ArrayList<>();
    while (queue != null && errors.size() < MOST_ERRORS) {
      String answer = question(open, queue.ask());
      if (answer.startsWith(queue.none())) {
        break;
      }
      errors.add(answer);
    }
    if (!errors.isEmpty()) {
      throw new Refusal(
          "the command %s is refused with %s"
              .formatted(Found.quoted(command), Found.quoted(String.join(", ", errors))));
    }
  }

  private String question(LineLink open, String question) throws IOException {
    open.send(question);
    return open.receive(profile.patience().timeoutMs());
  }

  private void drop() throws IOException {
    LineLink open = link;
    link = null;
    if (open != null) {
      open.close();
    }
  }

  @Override
  public void close() throws IOException {
    drop();
  }
}
