package org.fieldwright.app.notebook;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.outside.OutsideJson;
import org.fieldwright.app.outside.OutsideService;
import org.jspecify.annotations.Nullable;

/**
 * Searches for iron outside the bore, one at a time; stopped, each answers with the best so far.
 */
public final class OutsideDesk implements AutoCloseable {
  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final SearchRoom<OutsideLook> room;

  public OutsideDesk(NotebookService notebook, AssessedSurveys surveys) {
    this.notebook = notebook;
    this.surveys = surveys;
    room = new SearchRoom<>(notebook, "a survey could not be read");
  }

  /**
   * Starts a search.
   *
   * @param since survey to hold the other against; null = none
   * @param degree of the harmonics beside the sources; null = by the evidence
   */
  public OutsideLook start(
      String magnet, String survey, @Nullable String since, @Nullable Integer degree)
      throws IOException {
    notebook.existing(magnet, survey);
    notebook.magnetFile(magnet);
    if (since != null) {
      notebook.existing(magnet, since);
    }
    return room.start(
        id -> new OutsideLook(id, magnet, survey, since), look -> run(look, since, degree));
  }

  public OutsideLook find(String id) throws NoSuchFileException {
    return room.find(id);
  }

  /** The searches of a magnet that this process knows of, the first one first. */
  public List<OutsideLook> of(String magnet) {
    return room.of(magnet);
  }

  private void run(OutsideLook look, @Nullable String since, @Nullable Integer degree)
      throws IOException {
    Assessment found = surveys.of(look.magnet(), look.survey(), null);
    Assessment earlier = since == null ? null : surveys.of(look.magnet(), since, null);
    look.done(OutsideJson.of(OutsideService.look(found, earlier, degree, look)));
  }

  @Override
  public void close() {
    room.close();
  }
}
