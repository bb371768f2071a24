package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.fieldwright.app.evidence.EvidenceService;
import picocli.CommandLine.Option;

/** {@code signing-key --out K.pem}. */
@picocli.CommandLine.Command
final class SigningKeyCommand implements Callable<Integer> {
  private final Output output;

  @Option(
      names = "--out",
      required = true,
      paramLabel = "K.pem",
      description = "Private key to write; the public one goes to K.pub.pem.")
  private Path out = Path.of("");

  SigningKeyCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() {
    Path publicFile = EvidenceService.makeKeys(out);
    output.answer(
        "Private key: %s (keep it to yourself, and a copy in a safe place)%nPublic key:  %s (give it to whoever shall verify)"
            .formatted(out, publicFile));
    return ExitStatus.DONE;
  }
}
