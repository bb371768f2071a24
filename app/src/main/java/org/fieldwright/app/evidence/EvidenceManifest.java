package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.adapters.files.bundle.BundleEntry;
import org.fieldwright.adapters.files.table.DataTable;
import org.fieldwright.core.magnet.Magnet;

/**
 * The manifest of a bundle: a Frictionless data package, its tables with a schema each. Verifying a
 * bundle makes it again from the contents, so that a unit cannot be mislabelled either.
 */
final class EvidenceManifest {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  private EvidenceManifest() {}

  /**
   * The manifest.
   *
   * @param created time, and with {@code program} the only thing that the contents do not give
   * @param tables by path
   * @param entries every other file but the signature
   */
  static ObjectNode of(
      String created,
      String program,
      ObjectNode visit,
      Magnet magnet,
      Map<String, DataTable> tables,
      List<BundleEntry> entries) {
    ObjectNode root = JSON.objectNode();
    root.put("profile", "data-package");
    root.put("name", "fieldwright-evidence");
    root.put("title", "Evidence: " + magnet.name());
    root.put("created", created);
    ObjectNode own = root.putObject("fieldwright");
    own.put("format", EvidenceService.FORMAT);
    own.put("program", program);
    own.put("magnet", magnet.name());
    own.put("serial", magnet.serial());
    own.set("visit", visit);
    ObjectNode calibration = own.putObject("calibration");
    calibration.put("array", magnet.array().name());
    calibration.put(
        "calibrated",
        magnet.array().calibrated() == null ? null : magnet.array().calibrated().toString());
    calibration.put("interval_months", magnet.array().calibrationIntervalMonths());
    ArrayNode resources = root.putArray("resources");
    for (BundleEntry e : entries) {
      ObjectNode resource = resources.addObject();
      resource.put("name", resourceName(e.name()));
      resource.put("path", e.name());
      resource.put("bytes", e.size());
      resource.put("hash", "sha256:" + e.sha256());
      DataTable table = tables.get(e.name());
      if (table != null) {
        describe(resource, table);
      }
    }
    return root;
  }

  /** As the standards Tabular Data Resource, CSV Dialect and Table Schema have it. */
  private static void describe(ObjectNode resource, DataTable table) {
    resource.put("profile", "tabular-data-resource");
    resource.put("format", "csv");
    resource.put("mediatype", "text/csv");
    resource.put("encoding", "utf-8");
    if (!table.remarks().isEmpty()) {
      resource.putObject("dialect").put("commentChar", "#");
    }
    ObjectNode schema = resource.putObject("schema");
    ArrayNode fields = schema.putArray("fields");
    for (DataTable.Field f : table.fields()) {
      ObjectNode field = fields.addObject();
      field.put("name", f.name());
      field.put("type", f.type().id());
      field.put("description", f.says());
      if (f.unit() != null) {
        field.put("unit", f.unit());
      }
      if (f.type() == DataTable.ColumnType.DATETIME) {
        field.put("format", "any"); // ISO 8601, with as many decimals as there are
      }
    }
    schema.putArray("missingValues").add("");
  }

  /** Lower case, digits and .-_ only, as the Data Package standard has it. */
  private static String resourceName(String path) {
    return path.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9._-]", "-");
  }
}
