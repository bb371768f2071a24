package org.fieldwright.adapters.store;

import java.time.Clock;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiFunction;

/** The store on a database; one transaction a call. */
final class SqlStore implements Store {
  private final Database database;
  private final Clock clock;

  SqlStore(Database database, Clock clock) {
    this.database = database;
    this.clock = clock;
  }

  @Override
  public List<Magnet> magnets() {
    return database.read(VisitRows::magnets);
  }

  @Override
  public Optional<Magnet> magnet(String id) {
    return database.read(c -> VisitRows.magnet(c, id));
  }

  @Override
  public Magnet save(Magnet magnet) throws Changed {
    return database.<Magnet, Changed>write(c -> VisitRows.save(c, magnet));
  }

  @Override
  public List<Visit> visits(String magnet) {
    return database.read(c -> VisitRows.visits(c, magnet));
  }

  @Override
  public Optional<Visit> visit(String magnet, String id) {
    return visits(magnet).stream().filter(v -> v.id().equals(id)).findFirst();
  }

  @Override
  public Visit save(Visit visit) throws Changed {
    return database.<Visit, Changed>write(c -> VisitRows.save(c, visit));
  }

  @Override
  public List<Document> documents(String magnet) {
    return database.read(c -> DocumentRows.documents(c, magnet));
  }

  @Override
  public Optional<Document> document(String magnet, String path) {
    return database.read(c -> DocumentRows.document(c, magnet, path));
  }

  @Override
  public Optional<byte[]> content(String sha256) {
    return database.read(c -> DocumentRows.content(c, sha256));
  }

  @Override
  public Document save(Label label, byte[] content, long revision) throws Changed {
    return database.<Document, Changed>write(
        c -> DocumentRows.save(c, label, content, revision, clock.instant()));
  }

  @Override
  public Document relabel(Label label, long revision) throws Changed {
    return database.<Document, Changed>write(c -> DocumentRows.relabel(c, label, revision));
  }

  @Override
  public List<Round> rounds(String magnet) {
    return database.read(c -> VisitRows.rounds(c, magnet));
  }

  @Override
  public Round save(Round round) throws Changed {
    return database.<Round, Changed>write(c -> VisitRows.save(c, round));
  }

  @Override
  public List<KeptResult> results(String magnet) {
    return database.read(c -> ResultRows.results(c, magnet));
  }

  @Override
  public KeptResult keep(Result result, byte[] answer) {
    return database.write(c -> ResultRows.keep(c, result, answer));
  }

  @Override
  public List<ColumnMapping> columnMappings(String magnet) {
    return database.read(c -> VisitRows.columnMappings(c, magnet));
  }

  @Override
  public ColumnMapping save(ColumnMapping mapping) throws Changed {
    return database.<ColumnMapping, Changed>write(c -> VisitRows.save(c, mapping));
  }

  @Override
  public Map<String, byte[]> export(String magnet) {
    return database.read(c -> Portable.files(c, magnet));
  }

  @Override
  public Magnet add(String id, Map<String, byte[]> files, BiFunction<String, byte[], Kind> kind)
      throws Changed {
    return database.<Magnet, Changed>write(c -> Portable.add(c, id, files, kind, clock.instant()));
  }

  @Override
  public void close() {
    database.close();
  }
}
