package org.fieldwright.app.evidence;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.adapters.files.bundle.BundleEntry;
import org.fieldwright.adapters.files.bundle.SigningKeys;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.Version;
import org.fieldwright.core.BadInput;

/** Makes bundles of evidence: everything a third party needs to judge, and to check, a verdict. */
public final class EvidenceService {
  static final String MANIFEST = "datapackage.json";
  static final String SIGNATURE = "signature.json";
  static final String REPORT = "report.pdf";
  static final int FORMAT = 2;

  private final Clock clock;
  private final ZoneId zone;
  private final NumberWriting writing;

  /**
   * @param clock says when the bundle was made
   * @param zone in which the report's times are printed
   * @param writing how the report's numbers are written; files for machines have their own way
   */
  public EvidenceService(Clock clock, ZoneId zone, NumberWriting writing) {
    this.clock = clock;
    this.zone = zone;
    this.writing = writing;
  }

  /**
   * What was written.
   *
   * @param limitsMet whether every limit that was assessed is met
   * @param fingerprint of the key that signed it
   */
  public record Made(int files, boolean limitsMet, String fingerprint) {}

  /** Makes a pair of keys; answers the public one's file. */
  public static Path makeKeys(Path privateFile) {
    return SigningKeys.make(privateFile);
  }

  /**
   * Writes a signed bundle, whole or not at all.
   *
   * @param key private key file; its public key lies beside it
   */
  public Made make(VisitFiles visit, Path key, Path target) throws IOException {
    byte[] publicKey = SigningKeys.publicBeside(key);
    Instant made = clock.instant().truncatedTo(ChronoUnit.SECONDS);
    BundleLayout layout = BundleLayout.of(visit);
    List<BundleEntry> files = new ArrayList<>();
    layout.files().forEach((path, source) -> files.add(BundleEntry.of(path, source)));
    VisitResults results = VisitResults.of(visit, made);
    EvidenceDocuments.of(results, visit.priors())
        .forEach((path, document) -> files.add(BundleEntry.of(path, text(document))));
    Map<String, DataTable> tables = EvidenceTables.of(results);
    tables.forEach(
        (path, table) ->
            files.add(BundleEntry.of(path, table.csv().getBytes(StandardCharsets.UTF_8))));
    ReportService reports = new ReportService(Clock.fixed(made, zone), zone, writing);
    files.add(BundleEntry.of(REPORT, reports.render(visit, results)));
    byte[] manifest =
        text(
            EvidenceManifest.of(
                made.toString(),
                Version.current(),
                layout.visit(),
                results.found().magnet(),
                tables,
                files));
    byte[] signature = SigningKeys.sign(key, manifest);
    if (!SigningKeys.verify(publicKey, manifest, signature, key.toString())) {
      throw new BadInput(key + ": the public key beside it is not its own");
    }
    files.add(0, BundleEntry.of(MANIFEST, manifest));
    files.add(1, BundleEntry.of(SIGNATURE, signatureFile(publicKey, signature)));
    AtomicFile.write(target, out -> BundleArchive.write(out, files));
    boolean met = results.judged().stream().allMatch(r -> r.verdict().isKept());
    return new Made(files.size(), met, SigningKeys.fingerprint(publicKey));
  }

  /** The one way in which a signature is written down. */
  static byte[] signatureFile(byte[] publicKey, byte[] signature) {
    Base64.Encoder base64 = Base64.getEncoder();
    return text(
        JsonNodeFactory.instance
            .objectNode()
            .put("algorithm", "Ed25519")
            .put("signed", MANIFEST)
            .put("public_key", base64.encodeToString(publicKey))
            .put("fingerprint", SigningKeys.fingerprint(publicKey))
            .put("signature", base64.encodeToString(signature)));
  }

  private static byte[] text(ObjectNode document) {
    try {
      String text =
          new ObjectMapper()
              .enable(SerializationFeature.INDENT_OUTPUT)
              .writeValueAsString(document);
      return (text + "\n").getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    }
  }
}
