package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.fieldwright.adapters.files.ForeignTable;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.store.ColumnMapping;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * What the columns of foreign tables mean: guessed, confirmed by a person, and remembered per
 * magnet.
 */
public final class ColumnMeanings {
  private static final String COLUMNS = "columns";

  /** Where meanings were kept before there was a store; still read. */
  private static final String REMEMBERED_BEFORE = "columns.json";

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
    ColumnMapping mapping = mapping(magnet, key(header));
    if (mapping != null) {
      return new ObjectMapper().readTree(mapping.mapping()).path(COLUMNS);
    }
    if (notebook.files(magnet).contains(REMEMBERED_BEFORE)) {
      for (JsonNode entry :
          new ObjectMapper().readTree(notebook.read(magnet, REMEMBERED_BEFORE).content())) {
        if (entry.path("header").toString().equals(key(header))) {
          return entry.path(COLUMNS);
        }
      }
    }
    return null;
  }

  private @Nullable ColumnMapping mapping(String magnet, String key) {
    return notebook.store().columnMappings(magnet).stream()
        .filter(m -> m.header().equals(key))
        .findFirst()
        .orElse(null);
  }

  /** A header as the store names it. */
  private static String key(List<String> header) {
    ArrayNode names = JsonNodeFactory.instance.arrayNode();
    header.forEach(names::add);
    return names.toString();
  }

  /**
   * Adds a copy of the table under a header that can be read, and remembers what the columns mean.
   *
   * @return the copy's name
   */
  public String confirm(String magnet, String file, List<@Nullable String> meanings)
      throws IOException, NotebookService.Changed {
    synchronized (notebook.lock(magnet)) {
      Path source = notebook.existing(magnet, file);
      Magnet described = MagnetFile.read(notebook.magnetFile(magnet));
      String key = key(ForeignTable.preview(source, described).header());
      String stem = file.substring(0, file.lastIndexOf('.'));
      List<String> there = notebook.files(magnet);
      String name = stem + "-read.csv";
      for (int k = 2; there.contains(name); k++) {
        name = stem + "-read-" + k + ".csv";
      }
      NotebookService.Filed copy =
          NotebookService.filed(magnet, name, renamed(source, meanings, described), null);
      ObjectNode mapping = JsonNodeFactory.instance.objectNode();
      ArrayNode columns = mapping.putArray(COLUMNS);
      meanings.forEach(columns::add);
      ColumnMapping before = mapping(magnet, key);
      long revision = before == null ? 0 : before.revision();
      notebook.write(
          magnet,
          rows -> {
            rows.save(new ColumnMapping(magnet, key, mapping.toString(), revision));
            return copy.in(rows);
          });
      return name;
    }
  }

  private static byte[] renamed(Path source, List<@Nullable String> meanings, Magnet described)
      throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path copy = work.path().resolve("read.csv");
      ForeignTable.rename(source, meanings, copy, described);
      return Files.readAllBytes(copy);
    }
  }
}
