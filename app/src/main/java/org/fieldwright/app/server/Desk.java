package org.fieldwright.app.server;

import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import org.fieldwright.app.notebook.AssessedSurveys;
import org.fieldwright.app.notebook.ColumnMeanings;
import org.fieldwright.app.notebook.MagnetOverview;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.Papers;
import org.fieldwright.app.notebook.PlanDesk;
import org.fieldwright.app.notebook.SampleMagnet;

/** The services that the routes call. */
record Desk(
    NotebookService notebook,
    AssessedSurveys surveys,
    MagnetOverview overview,
    PlanDesk plans,
    Papers papers,
    SampleMagnet sample,
    ColumnMeanings columns,
    Clock clock) {

  /**
   * The services over one data directory.
   *
   * @param zone in which times are printed
   */
  static Desk over(Path data, Clock clock, ZoneId zone) {
    NotebookService notebook = new NotebookService(data);
    AssessedSurveys surveys = new AssessedSurveys(notebook, clock);
    return new Desk(
        notebook,
        surveys,
        new MagnetOverview(notebook, surveys),
        new PlanDesk(notebook, surveys, clock),
        new Papers(notebook, surveys, data, clock, zone),
        new SampleMagnet(notebook),
        new ColumnMeanings(notebook),
        clock);
  }
}
