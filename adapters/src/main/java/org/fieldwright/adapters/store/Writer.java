package org.fieldwright.adapters.store;

import java.util.Collection;
import java.util.List;

/** What can be written. {@link Store} says what may be refused. */
public interface Writer {

  Magnet save(Magnet magnet) throws Changed;

  Visit save(Visit visit) throws Changed;

  /**
   * Keeps a file.
   *
   * @param revision of what it replaces; 0 = nothing lies under that path yet
   */
  Document save(Label label, byte[] content, long revision) throws Changed;

  /** Says anew what a file is and which visit it belongs to; its content stays. */
  Document relabel(Label label, long revision) throws Changed;

  Round save(Round round) throws Changed;

  /** Keeps a result of which every input is in the store already. */
  default KeptResult keep(Result result, byte[] answer) {
    return keep(result, answer, List.of());
  }

  /**
   * Keeps a result; one that is there already is kept once.
   *
   * @param answer the document the service answered with
   * @param contents inputs that may have left the store since they were read; others are passed
   *     over
   */
  KeptResult keep(Result result, byte[] answer, Collection<byte[]> contents);

  ColumnMapping save(ColumnMapping mapping) throws Changed;
}
