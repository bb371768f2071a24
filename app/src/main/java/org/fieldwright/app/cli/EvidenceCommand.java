package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.Set;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.evidence.EvidenceRequest;
import org.fieldwright.app.evidence.EvidenceService;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code evidence SURVEY --magnet M.yaml --key K.pem --out B.zip}. */
@picocli.CommandLine.Command
final class EvidenceCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "SURVEY", description = "Readings, .csv or .xlsx.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = "--key",
      required = true,
      paramLabel = "K.pem",
      description = "Your private key, its public key beside it; `signing-key` makes a pair.")
  private Path key = Path.of("");

  @Option(names = "--out", required = true, paramLabel = "B.zip", description = "Bundle to write.")
  private Path out = Path.of("");

  @Option(
      names = "--loaded",
      paramLabel = "CHANGES.csv",
      description = "What was changed after SURVEY.")
  private @Nullable Path loaded;

  @Option(
      names = "--after",
      paramLabel = "SURVEY",
      description = "Readings taken after loading: the verdicts are then theirs.")
  private @Nullable Path after;

  @Option(names = "--log", paramLabel = "LOG", description = "A field log.")
  private @Nullable Path log;

  @Mixin private VettingChoices vetting = new VettingChoices();

  EvidenceCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    AssessService.Options options = vetting.options(null);
    EvidenceService.Made made =
        new EvidenceService(Clock.systemUTC(), ZoneId.systemDefault())
            .make(
                new EvidenceRequest(
                    survey,
                    magnet,
                    loaded,
                    after,
                    log,
                    options.degree(),
                    Set.copyOf(options.leaveOut()),
                    Set.copyOf(options.keep())),
                key,
                out);
    output.answer(
        "%s holds %d files, signed by the key %s.%n%s"
            .formatted(
                out,
                made.files(),
                made.fingerprint(),
                made.limitsMet()
                    ? "Every limit on homogeneity is met."
                    : "Not every limit on homogeneity is met."));
    return ExitStatus.DONE;
  }
}
