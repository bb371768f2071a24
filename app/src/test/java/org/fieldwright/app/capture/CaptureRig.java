package org.fieldwright.app.capture;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.simulate.ReaderService;

/** The magnet of the demonstration with a simulated reader in it. */
final class CaptureRig implements AutoCloseable {
  private final Path folder;
  private final ReaderService reader;
  private final Path profile;

  /**
   * Starts the reader.
   *
   * @param changes pairs of what to replace in the scenario, and by what
   */
  CaptureRig(Path folder, String... changes) throws IOException {
    this.folder = folder;
    Files.writeString(magnet(), resource("magnet.yaml"));
    Files.writeString(folder.resolve("installed.csv"), resource("installed.csv"));
    Files.writeString(folder.resolve("scenario.yaml"), changed(resource("scenario.yaml"), changes));
    reader = new ReaderService(folder.resolve("scenario.yaml"), 0, null);
    profile = folder.resolve("reader.yaml");
    String shipped = Files.readString(reader.writeProfile(folder));
    Files.writeString(
        profile,
        changed(
            shipped,
            "timeout_s: 5",
            "timeout_s: 30",
            "retries: 3",
            "retries: 20",
            "pause_s: 0.2",
            "pause_s: 0.01\nreconnect_s: 60"));
  }

  /** Changes the profile to read the array with one question. */
  void askForAllProbesAtOnce() throws IOException {
    Files.writeString(
        profile, Files.readString(profile).replace("MEASure:PROBe? {probe}", "MEASure:ARRay?"));
  }

  private static String resource(String name) throws IOException {
    try (InputStream in = CaptureRig.class.getResourceAsStream("/demo/" + name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  static String changed(String text, String... changes) {
    String out = text.replace("seconds_per_reading: 1.5", "seconds_per_reading: 0");
    for (int i = 0; i < changes.length; i += 2) {
      if (!out.contains(changes[i])) {
        throw new IllegalArgumentException(changes[i]);
      }
      out = out.replace(changes[i], changes[i + 1]);
    }
    return out;
  }

  Path folder() {
    return folder;
  }

  Path magnet() {
    return folder.resolve("magnet.yaml");
  }

  Path profile() {
    return profile;
  }

  Path survey() {
    return folder.resolve("taken.csv");
  }

  ReaderService reader() {
    return reader;
  }

  CaptureRequest request(int angles) {
    return new CaptureRequest(
        magnet(),
        profile,
        survey(),
        CapturePlan.equalAngles(angles),
        CapturePlan.Order.NATURAL,
        300);
  }

  /**
   * Takes part in a conversation.
   *
   * @param lines the answers
   * @return everything that was said; the survey is written if all was read
   */
  List<String> converse(CaptureRequest request, String lines) throws IOException {
    List<String> said = new ArrayList<>();
    Clock clock = new Unhurried();
    try (Capture capture = Capture.open(request, clock, said::add)) {
      BufferedReader in = new BufferedReader(new StringReader(lines));
      if (new Conversation(capture, in, said::add).run()) {
        capture.finish();
      }
    }
    return said;
  }

  /** Two seconds pass whenever it is looked at: a survey of half an hour in a few seconds. */
  private static final class Unhurried extends Clock {
    private Instant now = Instant.parse("2026-03-10T07:05:00Z");

    @Override
    public Instant instant() {
      now = now.plusSeconds(2);
      return now;
    }

    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
