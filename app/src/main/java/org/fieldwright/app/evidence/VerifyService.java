package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.Arrays;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.adapters.files.bundle.BundleEntry;
import org.fieldwright.adapters.files.bundle.SigningKeys;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * Checks a bundle of evidence: that nothing in it was changed since it was signed, who signed it,
 * and that every number in it follows from the readings in it.
 */
public final class VerifyService {
  /**
   * A document that says two things, or says more after its end, says nothing that can be checked.
   */
  private static final ObjectMapper STRICT =
      new ObjectMapper()
          .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS);

  /**
   * What was found in order.
   *
   * @param title of the bundle
   * @param made when, as stated in it
   * @param program version that made it
   * @param fingerprint of the key that signed it
   * @param expectedKey whether it was the key asked for; false where none was
   * @param files in the bundle, manifest and signature included
   * @param numbers compared with those recomputed
   * @param differences empty where all agree
   * @param verdicts limit id and verdict, from the results recomputed
   */
  public record Verified(
      String title,
      String made,
      String program,
      String fingerprint,
      boolean expectedKey,
      int files,
      int numbers,
      List<Difference> differences,
      Map<String, String> verdicts) {}

  /**
   * Verifies. Files are unpacked to a temporary folder once everything is as it was signed.
   *
   * @param signer public key file that must have signed; null takes any and says which
   * @throws BadInput where the bundle was changed or was signed by another
   */
  public Verified verify(Path bundle, @Nullable Path signer) throws IOException {
    BundleArchive archive = BundleArchive.read(bundle);
    JsonNode manifest = document(bundle, archive, EvidenceService.MANIFEST);
    byte[] publicKey = signature(bundle, archive);
    if (signer != null && !Arrays.equals(SigningKeys.publicKey(signer), publicKey)) {
      throw new BadInput(
          "%s: signed by the key %s, expected %s of %s"
              .formatted(
                  bundle,
                  SigningKeys.fingerprint(publicKey),
                  SigningKeys.fingerprint(SigningKeys.publicKey(signer)),
                  signer));
    }
    Set<String> named = hashes(bundle, archive, manifest);
    int format = manifest.at("/fieldwright/format").asInt();
    if (format != EvidenceService.FORMAT) {
      throw new BadInput(
          "%s: found format %d, expected %d".formatted(bundle, format, EvidenceService.FORMAT));
    }
    try (TemporaryFolder folder = TemporaryFolder.make()) {
      VisitFiles visit = BundleLayout.read(manifest.at("/fieldwright/visit"), folder.path(), named);
      for (String path : given(named)) {
        Path file = folder.path().resolve(path); // names are plain: nothing leaves the folder
        Files.createDirectories(file.getParent());
        try (OutputStream out = Files.newOutputStream(file)) {
          Objects.requireNonNull(archive.entry(path)).copyTo(out);
        }
      }
      return recompute(bundle, archive, manifest, visit, publicKey, signer != null);
    }
  }

  private static JsonNode document(Path bundle, BundleArchive archive, String name)
      throws IOException {
    byte[] bytes = archive.bytes(name);
    if (bytes == null) {
      throw new BadInput("%s: found no %s".formatted(bundle, name));
    }
    try {
      JsonNode node = STRICT.readTree(bytes);
      if (node == null || !node.isObject()) {
        throw new BadInput("%s: %s is no JSON object".formatted(bundle, name));
      }
      return node;
    } catch (IOException e) { // from memory: whatever it is, it is no JSON
      throw new BadInput("%s: %s is no JSON document".formatted(bundle, name), e);
    }
  }

  /** As it would be read from the bundle: what JSON cannot say (NaN) is text there. */
  private static JsonNode asStored(JsonNode document) {
    try {
      return STRICT.readTree(STRICT.writeValueAsBytes(document));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Checks the signature of the manifest; answers the key that made it. */
  private static byte[] signature(Path bundle, BundleArchive archive) throws IOException {
    JsonNode node = document(bundle, archive, EvidenceService.SIGNATURE);
    byte[] manifest = archive.bytes(EvidenceService.MANIFEST);
    try {
      byte[] key = Base64.getDecoder().decode(node.path("public_key").asText());
      byte[] signed = Base64.getDecoder().decode(node.path("signature").asText());
      boolean asWritten =
          Arrays.equals(
              archive.bytes(EvidenceService.SIGNATURE), EvidenceService.signatureFile(key, signed));
      if (manifest == null
          || !asWritten
          || !SigningKeys.verify(key, manifest, signed, bundle.toString())) {
        throw new BadInput(bundle + ": the signature is not that of its contents");
      }
      return key;
    } catch (IllegalArgumentException e) {
      throw new BadInput(bundle + ": " + EvidenceService.SIGNATURE + " is not base64", e);
    }
  }

  /** Checks what the manifest lists against what is there; answers the names. */
  private static Set<String> hashes(Path bundle, BundleArchive archive, JsonNode manifest) {
    Set<String> named = new LinkedHashSet<>();
    for (JsonNode resource : manifest.path("resources")) {
      String path = resource.path("path").asText();
      BundleEntry entry = archive.entry(path);
      if (entry == null) {
        throw new BadInput("%s: found no %s, which it names".formatted(bundle, path));
      }
      if (!("sha256:" + entry.sha256()).equals(resource.path("hash").asText())
          || entry.size() != resource.path("bytes").asLong(-1)) {
        throw new BadInput("%s: %s is not what was signed".formatted(bundle, path));
      }
      named.add(path);
    }
    Set<String> extra = new LinkedHashSet<>();
    archive.entries().forEach(e -> extra.add(e.name()));
    extra.removeAll(named);
    extra.removeAll(Set.of(EvidenceService.MANIFEST, EvidenceService.SIGNATURE));
    if (!extra.isEmpty()) {
      throw new BadInput("%s: found %s, which nobody signed".formatted(bundle, extra));
    }
    return named;
  }

  /** The files that were given, not made. */
  private static List<String> given(Set<String> named) {
    return named.stream().filter(n -> !isResult(n) && !n.equals(EvidenceService.REPORT)).toList();
  }

  private static boolean isResult(String name) {
    return name.startsWith(EvidenceDocuments.FOLDER) || name.startsWith(EvidenceTables.FOLDER);
  }

  private static Verified recompute(
      Path bundle,
      BundleArchive archive,
      JsonNode manifest,
      VisitFiles visit,
      byte[] publicKey,
      boolean expectedKey)
      throws IOException {
    VisitResults results = VisitResults.of(visit, made(bundle, manifest));
    NumberComparison comparison = new NumberComparison();
    Map<String, DataTable> tables = EvidenceTables.of(results);
    List<BundleEntry> files = archive.entries();
    ObjectNode again =
        EvidenceManifest.of(
            manifest.path("created").asText(),
            manifest.at("/fieldwright/program").asText(),
            BundleLayout.of(visit).visit(),
            results.found().magnet(),
            tables,
            files.subList(2, files.size()));
    comparison.compare(EvidenceService.MANIFEST, manifest, asStored(again));
    Set<String> stored = new LinkedHashSet<>();
    files.stream().map(BundleEntry::name).filter(VerifyService::isResult).forEach(stored::add);
    for (Map.Entry<String, ObjectNode> e :
        EvidenceDocuments.of(results, visit.priors()).entrySet()) {
      if (stored.remove(e.getKey())) {
        JsonNode there = document(bundle, archive, e.getKey());
        comparison.compare(e.getKey(), there, asStored(e.getValue()));
      } else {
        comparison.missing(e.getKey());
      }
    }
    for (Map.Entry<String, DataTable> e : tables.entrySet()) {
      if (stored.remove(e.getKey())) {
        byte[] there = Objects.requireNonNull(archive.bytes(e.getKey()));
        comparison.compare(e.getKey(), new String(there, StandardCharsets.UTF_8), e.getValue());
      } else {
        comparison.missing(e.getKey());
      }
    }
    stored.forEach(comparison::unexpected);
    Map<String, String> verdicts = new LinkedHashMap<>();
    results.judged().forEach(r -> verdicts.put(r.limit().id(), r.verdict().id()));
    return new Verified(
        manifest.path("title").asText(),
        manifest.path("created").asText(),
        manifest.at("/fieldwright/program").asText(),
        SigningKeys.fingerprint(publicKey),
        expectedKey,
        files.size(),
        comparison.numbers(),
        comparison.differences(),
        verdicts);
  }

  private static Instant made(Path bundle, JsonNode manifest) {
    String text = manifest.path("created").asText();
    try {
      return Instant.parse(text);
    } catch (DateTimeException e) {
      throw new BadInput("%s: found created '%s', expected a time".formatted(bundle, text), e);
    }
  }
}
