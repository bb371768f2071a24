package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.ForeignTable;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * What the columns of foreign tables mean: guessed, confirmed by a person, and remembered per
 * magnet in the file {@value #REMEMBERED} of its folder.
 */
public final class ColumnMeanings {
  private static final String REMEMBERED = "columns.json";

  private final NotebookService notebook;

  public ColumnMeanings(NotebookService notebook) {
    this.notebook = notebook;
  }

  /** The columns with a guess for each: what was confirmed for the same header, or our own. */
  public ObjectNode preview(String magnet, String file) throws IOException {
    Magnet described = MagnetFile.read(notebook.magnetFile(magnet));
    ForeignTable.Preview preview = ForeignTable.preview(notebook.existing(magnet, file), described);
    JsonNode known = known(magnet, preview.header());
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode columns = root.putArray("columns");
    for (int i = 0; i < preview.header().size(); i++) {
      ObjectNode column = columns.addObject().put("header", preview.header().get(i));
      if (known == null) {
        column.put("guess", preview.guesses().get(i));
      } else {
        column.set("guess", known.path(i));
      }
      ArrayNode samples = column.putArray("samples");
      preview.samples().get(i).forEach(samples::add);
    }
    ArrayNode meanings = root.putArray("meanings");
    ForeignTable.meanings().forEach(meanings::add);
    root.put("remembered", known != null);
    return root;
  }

  private @Nullable JsonNode known(String magnet, List<String> header) throws IOException {
    for (JsonNode entry : remembered(magnet)) {
      List<String> names = new ArrayList<>();
      entry.path("header").forEach(n -> names.add(n.asText()));
      if (names.equals(header)) {
        return entry.path("columns");
      }
    }
    return null;
  }

  private ArrayNode remembered(String magnet) throws IOException {
    if (notebook.files(magnet).contains(REMEMBERED)
        && new ObjectMapper().readTree(notebook.read(magnet, REMEMBERED).content())
            instanceof ArrayNode list) {
      return list;
    }
    return JsonNodeFactory.instance.arrayNode();
  }

  /**
   * Adds a copy of the table under a header that can be read, and remembers what the columns mean.
   *
   * @return the copy's name
   */
  public String confirm(String magnet, String file, List<@Nullable String> meanings)
      throws IOException {
    synchronized (notebook) {
      Path source = notebook.existing(magnet, file);
      Magnet described = MagnetFile.read(notebook.magnetFile(magnet));
      List<String> header = ForeignTable.preview(source, described).header();
      String stem = file.substring(0, file.lastIndexOf('.'));
      List<String> there = notebook.files(magnet);
      String name = stem + "-read.csv";
      for (int k = 2; there.contains(name); k++) {
        name = stem + "-read-" + k + ".csv";
      }
      ForeignTable.rename(source, meanings, notebook.folder(magnet).resolve(name), described);
      remember(magnet, header, meanings);
      return name;
    }
  }

  private void remember(String magnet, List<String> header, List<@Nullable String> meanings)
      throws IOException {
    ArrayNode all = JsonNodeFactory.instance.arrayNode();
    for (JsonNode entry : remembered(magnet)) {
      List<String> names = new ArrayList<>();
      entry.path("header").forEach(n -> names.add(n.asText()));
      if (!names.equals(header)) {
        all.add(entry);
      }
    }
    ObjectNode entry = all.addObject();
    ArrayNode names = entry.putArray("header");
    header.forEach(names::add);
    ArrayNode columns = entry.putArray("columns");
    meanings.forEach(columns::add);
    AtomicFile.write(
        notebook.folder(magnet).resolve(REMEMBERED),
        (all.toPrettyString() + "\n").getBytes(StandardCharsets.UTF_8));
  }
}
