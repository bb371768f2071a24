package org.fieldwright.adapters.store;

import java.time.Clock;
import java.util.Collection;
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
  public <T> T together(Together<T> work) throws Changed {
    return database.<T, Changed>write(c -> work.through(new OneTransaction(c, clock.instant())));
  }

  @Override
  public Map<String, Long> changes() {
    return database.read(VisitRows::changes);
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
    return together(writer -> writer.save(magnet));
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
    return together(writer -> writer.save(visit));
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
    return together(writer -> writer.save(label, content, revision));
  }

  @Override
  public Document relabel(Label label, long revision) throws Changed {
    return together(writer -> writer.relabel(label, revision));
  }

  @Override
  public List<Round> rounds(String magnet) {
    return database.read(c -> VisitRows.rounds(c, magnet));
  }

  @Override
  public Round save(Round round) throws Changed {
    return together(writer -> writer.save(round));
  }

  @Override
  public List<KeptResult> results(String magnet) {
    return database.read(c -> ResultRows.results(c, magnet));
  }

  @Override
  public KeptResult keep(Result result, byte[] answer, Collection<byte[]> contents) {
    return database.<KeptResult, RuntimeException>write(
        c -> new OneTransaction(c, clock.instant()).keep(result, answer, contents));
  }

  @Override
  public List<ColumnMapping> columnMappings(String magnet) {
    return database.read(c -> VisitRows.columnMappings(c, magnet));
  }

  @Override
  public ColumnMapping save(ColumnMapping mapping) throws Changed {
    return together(writer -> writer.save(mapping));
  }

  @Override
  public Optional<byte[]> notebook(String magnet) {
    return database.read(c -> Portable.notebook(c, magnet).map(Notebook::toJson));
  }

  @Override
  public Map<String, byte[]> export(String magnet) {
    return database.read(c -> Portable.files(c, magnet));
  }

  @Override
  public Magnet add(String id, Map<String, byte[]> files, BiFunction<String, byte[], Kind> kind)
      throws Changed {
    return database.<Magnet, Changed>write(
        c -> {
          Magnet magnet = Portable.add(c, id, files, kind, clock.instant());
          VisitRows.count(c, id);
          return magnet;
        });
  }

  @Override
  public Accounts accounts() {
    return new AccountRows(database, clock);
  }

  @Override
  public void close() {
    database.close();
  }
}
