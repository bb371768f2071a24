package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.Base64;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.UnaryOperator;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.adapters.files.bundle.BundleEntry;
import org.fieldwright.adapters.files.bundle.SigningKeys;

/** Bundles taken apart and put together again by someone who means no good. */
final class Forgery {
  private Forgery() {}

  static Map<String, byte[]> entries(Path file) throws IOException {
    BundleArchive archive = BundleArchive.read(file);
    Map<String, byte[]> entries = new LinkedHashMap<>();
    for (BundleEntry e : archive.entries()) {
      entries.put(e.name(), archive.bytes(e.name()));
    }
    return entries;
  }

  static byte[] bytes(Map<String, byte[]> entries) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    BundleArchive.write(
        out,
        entries.entrySet().stream().map(e -> BundleEntry.of(e.getKey(), e.getValue())).toList());
    return out.toByteArray();
  }

  /** A cheat with a key: results changed, hashes and signature made to fit. */
  static byte[] of(Path bundle, Path key, String name, UnaryOperator<String> change)
      throws Exception {
    Map<String, byte[]> entries = new LinkedHashMap<>(entries(bundle));
    ObjectMapper mapper = new ObjectMapper();
    String results = new String(entries.get(name), StandardCharsets.UTF_8);
    byte[] changed = change.apply(results).getBytes(StandardCharsets.UTF_8);
    assertThat(changed).isNotEqualTo(entries.get(name));
    entries.put(name, changed);
    JsonNode manifest = mapper.readTree(entries.get("datapackage.json"));
    for (JsonNode r : manifest.get("resources")) {
      if (r.get("path").asText().equals(name)) {
        byte[] digest = MessageDigest.getInstance("SHA-256").digest(changed);
        ((ObjectNode) r).put("bytes", changed.length);
        ((ObjectNode) r).put("hash", "sha256:" + HexFormat.of().formatHex(digest));
      }
    }
    byte[] text = mapper.writeValueAsBytes(manifest);
    entries.put("datapackage.json", text);
    String old = new String(entries.get("signature.json"), StandardCharsets.UTF_8);
    String before = mapper.readTree(old).get("signature").asText();
    String after = Base64.getEncoder().encodeToString(SigningKeys.sign(key, text));
    entries.put("signature.json", old.replace(before, after).getBytes(StandardCharsets.UTF_8));
    return bytes(entries);
  }
}
