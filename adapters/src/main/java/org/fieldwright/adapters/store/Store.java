package org.fieldwright.adapters.store;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiFunction;
import org.fieldwright.core.BadInput;

/**
 * Magnets, their visits and all that belongs to them. Any number of threads may call it.
 *
 * <p>What a method that writes has returned is on the disk: a killed process or a lost power loses
 * none of it. What it has not returned is there whole or not at all.
 *
 * <p>A row is saved against the revision it was read at, 0 where it is to be new; what comes back
 * carries the next revision. {@link Changed}: the store has another revision. {@link BadInput}: a
 * name that is not allowed, or a magnet, visit or file that is referred to and not there. {@link
 * StoreFault}: the database failed.
 */
public interface Store extends Writer, AutoCloseable {
  /** What the store adds to the plain files of a magnet lies in this folder of theirs. */
  String OWN_FOLDER = "fieldwright";

  /** Bytes of one file; both engines end at four times as much. */
  int LARGEST = 256 << 20;

  /** Several things written in one transaction. */
  interface Together<T> {
    T through(Writer writer) throws Changed;
  }

  /** Writes all of it or nothing. */
  <T> T together(Together<T> work) throws Changed;

  /** By magnet, a number that every write to the magnet counts up. */
  Map<String, Long> changes();

  /** Sorted by id. */
  List<Magnet> magnets();

  Optional<Magnet> magnet(String id);

  /** The earliest first; empty where there is no such magnet, as below. */
  List<Visit> visits(String magnet);

  Optional<Visit> visit(String magnet, String id);

  /** Without their content, sorted by path. */
  List<Document> documents(String magnet);

  Optional<Document> document(String magnet, String path);

  /** A content under any name it ever had that a document or a result still needs. */
  Optional<byte[]> content(String sha256);

  /** In the order of visits and numbers. */
  List<Round> rounds(String magnet);

  /** The latest first. */
  List<KeptResult> results(String magnet);

  /** Sorted by header. */
  List<ColumnMapping> columnMappings(String magnet);

  /** All rows of a magnet, as {@link #export} writes them into {@code notebook.json}. */
  Optional<byte[]> notebook(String magnet);

  /**
   * A magnet as the plain files of a folder, by path; empty where there is no such magnet. Files
   * are as they were given, byte for byte; what the store adds lies in {@link #OWN_FOLDER}.
   */
  Map<String, byte[]> export(String magnet);

  /**
   * Adds a magnet from the files of a folder, all or nothing. What {@link #export} wrote comes back
   * complete, under the new id; a file changed or added by hand since then is taken as it is.
   *
   * @param id of a magnet that is not there yet, otherwise {@link Changed}
   * @param kind says what a file is that the folder's notebook does not tell of, by path and
   *     content
   */
  Magnet add(String id, Map<String, byte[]> files, BiFunction<String, byte[], Kind> kind)
      throws Changed;

  /** Who may use it, where a team shares it. */
  Accounts accounts();

  @Override
  void close();
}
