package org.fieldwright.adapters.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/** Writes within a transaction that others begin and commit. */
final class OneTransaction implements Writer {
  private final Connection connection;
  private final Instant now;

  OneTransaction(Connection connection, Instant now) {
    this.connection = connection;
    this.now = now;
  }

  @Override
  public Magnet save(Magnet magnet) throws Changed {
    return write(magnet.id(), () -> VisitRows.save(connection, magnet));
  }

  @Override
  public Visit save(Visit visit) throws Changed {
    return write(visit.magnet(), () -> VisitRows.save(connection, visit));
  }

  @Override
  public Document save(Label label, byte[] content, long revision) throws Changed {
    return write(
        label.magnet(), () -> DocumentRows.save(connection, label, content, revision, now));
  }

  @Override
  public Document relabel(Label label, long revision) throws Changed {
    return write(label.magnet(), () -> DocumentRows.relabel(connection, label, revision));
  }

  @Override
  public Round save(Round round) throws Changed {
    return write(round.magnet(), () -> VisitRows.save(connection, round));
  }

  @Override
  public KeptResult keep(Result result, byte[] answer, Collection<byte[]> contents) {
    return this.<KeptResult, RuntimeException>write(
        result.magnet(), () -> keepWith(result, answer, contents));
  }

  private KeptResult keepWith(Result result, byte[] answer, Collection<byte[]> contents)
      throws SQLException {
    List<String> laid = new ArrayList<>();
    for (byte[] content : contents) {
      laid.add(DocumentRows.keep(connection, content));
    }
    KeptResult kept = ResultRows.keep(connection, result, answer);
    for (String sha256 : laid) {
      DocumentRows.forgetUnlessNeeded(connection, sha256);
    }
    return kept;
  }

  @Override
  public ColumnMapping save(ColumnMapping mapping) throws Changed {
    return write(mapping.magnet(), () -> VisitRows.save(connection, mapping));
  }

  private interface Step<T, E extends Exception> {
    T take() throws SQLException, E;
  }

  private <T, E extends Exception> T write(String magnet, Step<T, E> step) throws E {
    try {
      T result = step.take();
      VisitRows.count(connection, magnet);
      return result;
    } catch (SQLException e) {
      throw StoreFault.of(e);
    }
  }
}
