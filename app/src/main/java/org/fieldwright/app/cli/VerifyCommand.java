package org.fieldwright.app.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.fieldwright.app.evidence.Difference;
import org.fieldwright.app.evidence.VerifyService;
import org.fieldwright.app.evidence.VerifyService.Verified;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code verify BUNDLE}. */
@picocli.CommandLine.Command
final class VerifyCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "BUNDLE", description = "Evidence to check.")
  private Path bundle = Path.of("");

  @Option(
      names = "--signer",
      paramLabel = "K.pub.pem",
      description = "Public key that must have signed it; without it any key will do and is named.")
  private @Nullable Path signer;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  VerifyCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    Verified verified = new VerifyService().verify(bundle, signer);
    if (json) {
      output.answer(document(verified));
    } else {
      output.answer(text(verified));
    }
    verified.differences().forEach(d -> output.note("! " + d.line()));
    return verified.differences().isEmpty() ? ExitStatus.DONE : ExitStatus.BAD_INPUT;
  }

  private static ObjectNode document(Verified v) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.put("verified", v.differences().isEmpty());
    root.put("title", v.title());
    root.put("made", v.made());
    root.put("program", v.program());
    root.put("signed_by", v.fingerprint());
    root.put("signer_expected", v.expectedKey());
    root.put("files", v.files());
    root.put("numbers_recomputed", v.numbers());
    ObjectNode verdicts = root.putObject("verdicts");
    v.verdicts().forEach(verdicts::put);
    ArrayNode differences = root.putArray("differences");
    v.differences().forEach(d -> difference(differences.addObject(), d));
    return root;
  }

  private static void difference(ObjectNode node, Difference d) {
    node.put("file", d.file());
    if (d.row() != null) {
      node.put("row", d.row()).put("column", d.column());
    } else {
      node.put("pointer", d.pointer());
    }
    node.put("stated", d.stated()).put("recomputed", d.recomputed());
  }

  private static String text(Verified v) {
    StringBuilder text = new StringBuilder();
    boolean good = v.differences().isEmpty();
    text.append(good ? "VERIFIED  " : "DIFFERS   ").append(v.title()).append('\n');
    text.append("Made ").append(v.made()).append(" by Fieldwright ").append(v.program());
    text.append("\nSigned by the key ").append(v.fingerprint());
    text.append(
        v.expectedKey()
            ? ", as expected\n"
            : "; compare it with what its owner tells you, or give --signer\n");
    text.append(
        "%d files as signed; %d numbers recomputed from the readings, %s%n"
            .formatted(
                v.files(),
                v.numbers(),
                good ? "all agree" : v.differences().size() + " statements differ"));
    v.verdicts().forEach((id, verdict) -> text.append("  %-12s %s%n".formatted(id, verdict)));
    return text.toString();
  }
}
