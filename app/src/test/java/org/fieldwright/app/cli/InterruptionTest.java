package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * A search that is asked to end still gives its best. The request is SIGTERM: it takes the same
 * path as Ctrl-C, which a build server may have told its children to ignore.
 */
@Timeout(value = 60, unit = TimeUnit.SECONDS) // a guard against hanging, not a measurement
class InterruptionTest {
  private static final int TERMINATED = 128 + 15;

  /** A search without end, in a process of its own. */
  static final class EndlessSearch {
    private EndlessSearch() {}

    public static void main(String[] args) {
      Output output = Output.standard();
      try (TerminalProgress progress = new TerminalProgress(output, Double.POSITIVE_INFINITY)) {
        for (double best = 100; !progress.shouldStop(); best *= 0.99) {
          progress.report("searching", Double.NaN, best);
        }
        output.answer("best so far");
      }
    }
  }

  @Test
  void theBestSoFarGetsOut() throws IOException, InterruptedException {
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                EndlessSearch.class.getName())
            .start();
    try (BufferedReader notes = process.errorReader(StandardCharsets.UTF_8)) {
      assertThat(notes.readLine()).contains("searching").contains("best 100");
      process.toHandle().destroy(); // Process.destroy would close the streams too
      assertThat(process.waitFor()).isEqualTo(TERMINATED);
      assertThat(process.getInputStream().readAllBytes()).asString().isEqualTo("best so far\n");
    } finally {
      process.destroyForcibly();
    }
  }

  @Test
  void theTimeOfASearchIsOverWhenItIsOver() {
    Output nowhere = new Output(System.err, System.err);
    try (TerminalProgress none = new TerminalProgress(nowhere, 0);
        TerminalProgress endless = new TerminalProgress(nowhere, Double.POSITIVE_INFINITY)) {
      assertThat(none.shouldStop()).isTrue();
      assertThat(endless.shouldStop()).isFalse();
    }
  }
}
