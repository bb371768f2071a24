package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.concurrent.Callable;
import org.fieldwright.app.evidence.EvidenceService;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code evidence SURVEY --magnet M.yaml --key K.pem --out B.zip}. */
@picocli.CommandLine.Command
final class EvidenceCommand implements Callable<Integer> {
  private final Output output;

  @Option(
      names = "--key",
      required = true,
      paramLabel = "K.pem",
      description = "Your private key, its public key beside it; `signing-key` makes a pair.")
  private Path key = Path.of("");

  @Option(names = "--out", required = true, paramLabel = "B.zip", description = "Bundle to write.")
  private Path out = Path.of("");

  @Mixin private VisitOptions visit = new VisitOptions();

  EvidenceCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    EvidenceService.Made made =
        new EvidenceService(Clock.systemUTC(), ZoneId.systemDefault(), visit.numbers())
            .make(visit.files(), key, out);
    output.answer(
        "%s holds %d files, signed by the key %s.%n%s"
            .formatted(
                out,
                made.files(),
                made.fingerprint(),
                made.limitsMet()
                    ? "Every limit that was judged is met."
                    : "Not every limit that was judged is met."));
    return ExitStatus.DONE;
  }
}
