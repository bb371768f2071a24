package org.fieldwright.app.evidence;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.bundle.BundleArchive;
import org.fieldwright.adapters.files.bundle.SigningKeys;
import org.fieldwright.app.Version;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** Makes bundles of evidence: everything a third party needs to judge, and to check, a verdict. */
public final class EvidenceService {
  static final String MANIFEST = "datapackage.json";
  static final String SIGNATURE = "signature.json";
  static final int FORMAT = 1;

  private final Clock clock;
  private final ZoneId zone;

  /**
   * @param clock says when the bundle was made
   * @param zone in which the report's times are printed
   */
  public EvidenceService(Clock clock, ZoneId zone) {
    this.clock = clock;
    this.zone = zone;
  }

  /**
   * What was written.
   *
   * @param limitsMet whether every limit on homogeneity is met
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
  public Made make(EvidenceRequest request, Path key, Path target) throws IOException {
    byte[] publicKey = SigningKeys.publicBeside(key);
    Instant made = clock.instant().truncatedTo(ChronoUnit.SECONDS);
    EvidenceResults results = EvidenceResults.of(request, made);
    Map<String, byte[]> files = new LinkedHashMap<>();
    ObjectNode roles = JsonNodeFactory.instance.objectNode();
    inputs(request, files, roles);
    results.documents().forEach((path, document) -> files.put(path, text(document)));
    ReportService reports = new ReportService(Clock.fixed(made, zone), zone);
    files.put("report.pdf", results.report(request, reports));
    byte[] manifest = text(manifest(request, results, made, files, roles));
    byte[] signature = SigningKeys.sign(key, manifest);
    if (!SigningKeys.verify(publicKey, manifest, signature, key.toString())) {
      throw new BadInput(key + ": the public key beside it is not its own");
    }
    Map<String, byte[]> entries = new LinkedHashMap<>();
    entries.put(MANIFEST, manifest);
    entries.put(SIGNATURE, signatureFile(publicKey, signature));
    entries.putAll(files);
    AtomicFile.write(target, BundleArchive.bytes(entries));
    return new Made(entries.size(), results.judged().allMet(), SigningKeys.fingerprint(publicKey));
  }

  private static void inputs(EvidenceRequest request, Map<String, byte[]> files, ObjectNode roles)
      throws IOException {
    List<Path> sources = MagnetFile.load(request.magnet()).sources();
    Path folder = request.magnet().toAbsolutePath().normalize().getParent();
    for (Path source : sources) {
      Path full = source.toAbsolutePath().normalize();
      String name = folder == null ? full.toString() : folder.relativize(full).toString();
      put(files, "magnet/" + name.replace('\\', '/'), source);
    }
    roles.put("magnet", "magnet/" + request.magnet().getFileName());
    role(files, roles, "survey", request.survey());
    role(files, roles, "loaded", request.loaded());
    role(files, roles, "after", request.after());
    role(files, roles, "log", request.log());
  }

  private static void role(
      Map<String, byte[]> files, ObjectNode roles, String role, @Nullable Path file)
      throws IOException {
    if (file != null) {
      String path = role + "/" + file.getFileName();
      put(files, path, file);
      roles.put(role, path);
    }
  }

  private static void put(Map<String, byte[]> files, String path, Path source) throws IOException {
    if (!BundleArchive.isPlain(path)) {
      throw new BadInput(
          "%s: a bundle takes file names of letters, digits, spaces and ._()+,- only"
              .formatted(source));
    }
    if (Files.size(source) > BundleArchive.MOST_BYTES / 2) {
      throw new BadInput(
          "%s: found more than %d MiB, too much for a bundle"
              .formatted(source, BundleArchive.MOST_BYTES >> 21));
    }
    files.put(path, Files.readAllBytes(source));
  }

  private static ObjectNode manifest(
      EvidenceRequest request,
      EvidenceResults results,
      Instant made,
      Map<String, byte[]> files,
      ObjectNode roles) {
    Magnet magnet = results.found().magnet();
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.put("profile", "data-package");
    root.put("name", "fieldwright-evidence");
    root.put("title", "Evidence: " + magnet.name());
    root.put("created", made.toString());
    ObjectNode own = root.putObject("fieldwright");
    own.put("format", FORMAT);
    own.put("program", Version.current());
    own.put("magnet", magnet.name());
    own.put("serial", magnet.serial());
    own.set("roles", roles);
    ObjectNode options = own.putObject("options");
    options.put("degree", request.degree());
    rows(options.putArray("leave_out"), request.leaveOut());
    rows(options.putArray("keep"), request.keep());
    ObjectNode calibration = own.putObject("calibration");
    calibration.put("array", magnet.array().name());
    calibration.put(
        "calibrated",
        magnet.array().calibrated() == null ? null : magnet.array().calibrated().toString());
    calibration.put("interval_months", magnet.array().calibrationIntervalMonths());
    ArrayNode resources = root.putArray("resources");
    files.forEach(
        (path, bytes) ->
            resources
                .addObject()
                .put("name", resourceName(path))
                .put("path", path)
                .put("bytes", bytes.length)
                .put("hash", "sha256:" + InputDigest.sha256(bytes)));
    return root;
  }

  private static void rows(ArrayNode node, java.util.Set<Integer> rows) {
    new TreeSet<>(rows).forEach(node::add);
  }

  /** Lower case, digits and .-_ only, as the Data Package standard has it. */
  private static String resourceName(String path) {
    return path.toLowerCase(java.util.Locale.ROOT).replaceAll("[^a-z0-9._-]", "-");
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
