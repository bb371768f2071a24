package org.fieldwright.adapters.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.BiFunction;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.core.BadInput;

/**
 * A magnet as plain files: every file under its own path, and in {@code fieldwright/} what the
 * store adds: {@code notebook.json} with all other rows, and {@code contents/} with the inputs and
 * answers of results, each named by its SHA-256. The inputs are there even where a file has the
 * same content today: a file may be edited by hand, and its results stay reproducible.
 */
final class Portable {
  static final String NOTEBOOK = Store.OWN_FOLDER + "/notebook.json";
  private static final String CONTENTS = Store.OWN_FOLDER + "/contents/";

  private Portable() {}

  /** By path, sorted; empty where there is no such magnet. */
  static Map<String, byte[]> files(Connection connection, String id) throws SQLException {
    Map<String, byte[]> files = new TreeMap<>();
    Optional<Notebook> rows = notebook(connection, id);
    if (rows.isEmpty()) {
      return files;
    }
    Notebook notebook = rows.get();
    files.put(NOTEBOOK, notebook.toJson());
    for (Document document : notebook.documents()) {
      files.put(document.label().path(), content(connection, document.sha256()));
    }
    for (KeptResult kept : notebook.results()) {
      files.put(CONTENTS + kept.answer(), content(connection, kept.answer()));
      for (Result.Input input : kept.result().inputs()) {
        files.put(CONTENTS + input.sha256(), content(connection, input.sha256()));
      }
    }
    return files;
  }

  /** All rows of a magnet. */
  static Optional<Notebook> notebook(Connection connection, String id) throws SQLException {
    Optional<Magnet> magnet = VisitRows.magnet(connection, id);
    return magnet.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Notebook(
                magnet.get(),
                VisitRows.visits(connection, id),
                DocumentRows.documents(connection, id),
                VisitRows.rounds(connection, id),
                ResultRows.results(connection, id),
                VisitRows.columnMappings(connection, id)));
  }

  private static byte[] content(Connection connection, String sha256) throws SQLException {
    return DocumentRows.content(connection, sha256)
        .orElseThrow(() -> new IllegalStateException("foreign keys keep " + sha256));
  }

  /**
   * Adds a magnet.
   *
   * @param kind of a file that no notebook tells of, by path and content
   */
  static Magnet add(
      Connection connection,
      String id,
      Map<String, byte[]> files,
      BiFunction<String, byte[], Kind> kind,
      Instant now)
      throws SQLException, Changed {
    byte[] json = files.get(NOTEBOOK);
    Notebook notebook =
        json == null
            ? new Notebook(
                new Magnet(id, id, 0), List.of(), List.of(), List.of(), List.of(), List.of())
            : new NotebookReader(NOTEBOOK, id).read(json);
    Magnet magnet = VisitRows.save(connection, notebook.magnet());
    for (Visit visit : notebook.visits()) {
      VisitRows.save(connection, visit);
    }
    addDocuments(connection, notebook, files, kind, now);
    for (Round round : notebook.rounds()) {
      VisitRows.save(connection, round);
    }
    addResults(connection, notebook.results(), files);
    for (ColumnMapping mapping : notebook.mappings()) {
      VisitRows.save(connection, mapping);
    }
    return magnet;
  }

  private static void addDocuments(
      Connection connection,
      Notebook notebook,
      Map<String, byte[]> files,
      BiFunction<String, byte[], Kind> kind,
      Instant now)
      throws SQLException, Changed {
    Map<String, Document> told =
        notebook.documents().stream()
            .collect(Collectors.toMap(d -> d.label().path(), Function.identity(), (a, b) -> b));
    for (Map.Entry<String, byte[]> file : new TreeMap<>(files).entrySet()) {
      String path = file.getKey();
      if (path.equals(NOTEBOOK) || path.startsWith(CONTENTS)) {
        continue;
      }
      byte[] content = file.getValue();
      Document known = told.remove(path);
      Label label =
          known == null
              ? new Label(notebook.magnet().id(), path, kind.apply(path, content), null)
              : known.label();
      Instant saved =
          known != null && known.sha256().equals(Sha256.of(content)) ? known.saved() : now;
      DocumentRows.save(connection, label, content, 0, saved);
    }
    if (!told.isEmpty()) {
      throw new BadInput(
          "%s: files: '%s' is listed and not there; put it back or take it out of the list"
              .formatted(NOTEBOOK, told.keySet().iterator().next()));
    }
  }

  private static void addResults(
      Connection connection, List<KeptResult> results, Map<String, byte[]> files)
      throws SQLException {
    Map<String, byte[]> contents = new HashMap<>();
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      if (file.getKey().startsWith(CONTENTS)) {
        String sha256 = DocumentRows.keep(connection, file.getValue());
        if (!file.getKey().equals(CONTENTS + sha256)) {
          throw new BadInput(
              "%s: was changed, its SHA-256 is now %s; bring back the file as it was written"
                  .formatted(file.getKey(), sha256));
        }
        contents.put(sha256, file.getValue());
      }
    }
    for (KeptResult told : results) {
      byte[] answer = contents.get(told.answer());
      if (answer == null) {
        throw new BadInput(
            "%s: results: %s%s is missing; put it back"
                .formatted(NOTEBOOK, CONTENTS, told.answer()));
      }
      if (!ResultRows.keep(connection, told.result(), answer).id().equals(told.id())) {
        throw new BadInput(
            "%s: results: %s was changed since it was written; bring it back as it was"
                .formatted(NOTEBOOK, told.id()));
      }
    }
    for (String sha256 : contents.keySet()) {
      DocumentRows.forgetUnlessNeeded(connection, sha256);
    }
  }
}
