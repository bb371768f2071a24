package org.fieldwright.app.notebook;

import java.io.IOException;
import java.time.LocalDate;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import org.fieldwright.adapters.store.Document;
import org.fieldwright.adapters.store.Label;
import org.fieldwright.adapters.store.Visit;
import org.fieldwright.app.life.Visits;

/** Files surveys and logs in the store under the visit that they belong to. */
final class VisitFiling {
  private final NotebookService notebook;

  VisitFiling(NotebookService notebook) {
    this.notebook = notebook;
  }

  /** Brings the rows to what the files say. What somebody else is just filing is left to him. */
  void file(String magnet, List<Visits.Visit> groups) throws IOException {
    Map<String, String> wanted = new HashMap<>();
    for (Visits.Visit visit : groups) {
      if (!visit.id().equals(Visits.UNDATED)) {
        visit.surveys().forEach(m -> wanted.put(m.file(), visit.id()));
        visit.logs().forEach(m -> wanted.put(m.file(), visit.id()));
      }
    }
    List<Document> astray =
        notebook.store().documents(magnet).stream()
            .filter(d -> wanted.containsKey(d.label().path()))
            .filter(d -> !Objects.equals(wanted.get(d.label().path()), d.label().visit()))
            .toList();
    if (astray.isEmpty()) {
      return;
    }
    try {
      notebook.write(
          magnet,
          rows -> {
            for (Visit visit : missing(magnet, wanted.values())) {
              rows.save(visit);
            }
            for (Document d : astray) {
              Label l = d.label();
              rows.relabel(
                  new Label(magnet, l.path(), l.kind(), wanted.get(l.path())), d.revision());
            }
            return astray;
          });
    } catch (NotebookService.Changed e) {
      // seen again by whoever looks next
    }
  }

  /** Visits by id that have no row yet. */
  List<Visit> missing(String magnet, Collection<String> ids) {
    var there = notebook.store().visits(magnet).stream().map(Visit::id).collect(Collectors.toSet());
    return ids.stream()
        .distinct()
        .filter(id -> !there.contains(id))
        .sorted()
        .map(id -> new Visit(magnet, id, LocalDate.parse(id), "", 0))
        .toList();
  }
}
