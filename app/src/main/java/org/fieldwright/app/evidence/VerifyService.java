package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.Base64;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.adapters.files.bundle.SigningKeys;
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
   * @param differences one line each; empty where all agree
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
      List<String> differences,
      Map<String, String> verdicts) {}

  /**
   * Verifies.
   *
   * @param signer public key file that must have signed; null takes any and says which
   * @throws BadInput where the bundle was changed or was signed by another
   */
  public Verified verify(Path bundle, @Nullable Path signer) throws IOException {
    Map<String, byte[]> entries = BundleArchive.read(bundle);
    JsonNode manifest = document(bundle, entries, EvidenceService.MANIFEST);
    byte[] publicKey = signature(bundle, entries);
    if (signer != null && !java.util.Arrays.equals(SigningKeys.publicKey(signer), publicKey)) {
      throw new BadInput(
          "%s: signed by the key %s, expected %s of %s"
              .formatted(
                  bundle,
                  SigningKeys.fingerprint(publicKey),
                  SigningKeys.fingerprint(SigningKeys.publicKey(signer)),
                  signer));
    }
    hashes(bundle, entries, manifest);
    int format = manifest.at("/fieldwright/format").asInt();
    if (format != EvidenceService.FORMAT) {
      throw new BadInput(
          "%s: found format %d, expected %d".formatted(bundle, format, EvidenceService.FORMAT));
    }
    try (TemporaryFolder folder = TemporaryFolder.make()) {
      return recompute(bundle, entries, manifest, folder.path(), publicKey, signer != null);
    }
  }

  private static JsonNode document(Path bundle, Map<String, byte[]> entries, String name) {
    byte[] bytes = entries.get(name);
    if (bytes == null) {
      throw new BadInput("%s: found no %s".formatted(bundle, name));
    }
    try {
      JsonNode node = STRICT.readTree(bytes);
      if (node == null || !node.isObject()) {
        throw new BadInput("%s: %s is no JSON object".formatted(bundle, name));
      }
      return node;
    } catch (IOException e) {
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
  private static byte[] signature(Path bundle, Map<String, byte[]> entries) {
    JsonNode node = document(bundle, entries, EvidenceService.SIGNATURE);
    byte[] manifest = entries.get(EvidenceService.MANIFEST);
    try {
      byte[] key = Base64.getDecoder().decode(node.path("public_key").asText());
      byte[] signed = Base64.getDecoder().decode(node.path("signature").asText());
      boolean asWritten =
          java.util.Arrays.equals(
              entries.get(EvidenceService.SIGNATURE), EvidenceService.signatureFile(key, signed));
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

  private static void hashes(Path bundle, Map<String, byte[]> entries, JsonNode manifest) {
    Set<String> named = new HashSet<>(Set.of(EvidenceService.MANIFEST, EvidenceService.SIGNATURE));
    for (JsonNode resource : manifest.path("resources")) {
      String path = resource.path("path").asText();
      byte[] bytes = entries.get(path);
      if (bytes == null) {
        throw new BadInput("%s: found no %s, which it names".formatted(bundle, path));
      }
      String hash = "sha256:" + InputDigest.sha256(bytes);
      if (!hash.equals(resource.path("hash").asText())
          || bytes.length != resource.path("bytes").asInt(-1)) {
        throw new BadInput("%s: %s is not what was signed".formatted(bundle, path));
      }
      named.add(path);
    }
    for (JsonNode role : manifest.at("/fieldwright/roles")) {
      if (!named.contains(role.asText())) {
        throw new BadInput(
            "%s: its manifest points to %s, which is not in it".formatted(bundle, role));
      }
    }
    if (!named.equals(entries.keySet())) {
      Set<String> extra = new HashSet<>(entries.keySet());
      extra.removeAll(named);
      throw new BadInput("%s: found %s, which nobody signed".formatted(bundle, extra));
    }
  }

  private static Verified recompute(
      Path bundle,
      Map<String, byte[]> entries,
      JsonNode manifest,
      Path folder,
      byte[] publicKey,
      boolean expectedKey)
      throws IOException {
    for (Map.Entry<String, byte[]> e : entries.entrySet()) {
      Path file = folder.resolve(e.getKey()); // names are plain: nothing leaves the folder
      Files.createDirectories(file.getParent());
      Files.write(file, e.getValue());
    }
    EvidenceResults results = EvidenceResults.of(request(manifest, folder), made(bundle, manifest));
    NumberComparison comparison = new NumberComparison();
    Set<String> stored = new LinkedHashSet<>();
    entries.keySet().stream().filter(n -> n.startsWith("results/")).forEach(stored::add);
    results
        .documents()
        .forEach(
            (path, document) -> {
              if (stored.remove(path)) {
                comparison.compare(path, document(bundle, entries, path), asStored(document));
              } else {
                comparison.missing(path);
              }
            });
    stored.forEach(comparison::unexpected);
    Map<String, String> verdicts = new java.util.LinkedHashMap<>();
    results.judged().limits().forEach(r -> verdicts.put(r.limit().id(), r.verdict().id()));
    JsonNode stability = results.documents().get("results/stability.json");
    if (stability != null) { // the log judges what a survey cannot
      for (JsonNode limit : stability.path("limits")) {
        verdicts.put(limit.path("id").asText(), limit.path("verdict").asText());
      }
    }
    return new Verified(
        manifest.path("title").asText(),
        manifest.path("created").asText(),
        manifest.at("/fieldwright/program").asText(),
        SigningKeys.fingerprint(publicKey),
        expectedKey,
        entries.size(),
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

  private static EvidenceRequest request(JsonNode manifest, Path folder) {
    JsonNode roles = manifest.at("/fieldwright/roles");
    JsonNode options = manifest.at("/fieldwright/options");
    return new EvidenceRequest(
        folder.resolve(roles.path("survey").asText("-")),
        folder.resolve(roles.path("magnet").asText("-")),
        optional(roles, "loaded", folder),
        optional(roles, "after", folder),
        optional(roles, "log", folder),
        options.path("degree").isInt() ? (Integer) options.path("degree").asInt() : null,
        rows(options.path("leave_out")),
        rows(options.path("keep")));
  }

  private static @Nullable Path optional(JsonNode roles, String role, Path folder) {
    return roles.has(role) ? folder.resolve(roles.path(role).asText()) : null;
  }

  private static Set<Integer> rows(JsonNode node) {
    Set<Integer> rows = new HashSet<>();
    node.forEach(n -> rows.add(n.asInt()));
    return rows;
  }
}
