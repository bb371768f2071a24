package org.fieldwright.app.server;

import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import org.fieldwright.app.notebook.AssessedSurveys;
import org.fieldwright.app.notebook.CaptureDesk;
import org.fieldwright.app.notebook.ColumnMeanings;
import org.fieldwright.app.notebook.Comparisons;
import org.fieldwright.app.notebook.Findings;
import org.fieldwright.app.notebook.MagnetOverview;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.OutsideDesk;
import org.fieldwright.app.notebook.Papers;
import org.fieldwright.app.notebook.PlanDesk;
import org.fieldwright.app.notebook.ReaderDesk;
import org.fieldwright.app.notebook.RecordingDesk;
import org.fieldwright.app.notebook.Rounds;
import org.fieldwright.app.notebook.SampleMagnet;
import org.fieldwright.app.notebook.SeatingDesk;
import org.fieldwright.app.team.SignIns;

/** The services that the routes call. */
record Desk(
    NotebookService notebook,
    AssessedSurveys surveys,
    MagnetOverview overview,
    PlanDesk plans,
    OutsideDesk outside,
    ReaderDesk readers,
    CaptureDesk captures,
    RecordingDesk recordings,
    SeatingDesk seatings,
    Papers papers,
    SampleMagnet sample,
    ColumnMeanings columns,
    Findings findings,
    Rounds rounds,
    Comparisons comparisons,
    SignIns signIns) {

  /**
   * The services over one store.
   *
   * @param data the user's data directory
   * @param zone in which times are printed
   */
  static Desk over(NotebookService notebook, Path data, Clock clock, ZoneId zone) {
    AssessedSurveys surveys = new AssessedSurveys(notebook, clock);
    MagnetOverview overview = new MagnetOverview(notebook, surveys);
    Findings findings = new Findings(notebook, clock);
    ReaderDesk readers = new ReaderDesk(notebook);
    Rounds rounds = new Rounds(notebook, findings, clock);
    return new Desk(
        notebook,
        surveys,
        overview,
        new PlanDesk(notebook, surveys, findings, clock),
        new OutsideDesk(notebook, surveys),
        readers,
        new CaptureDesk(notebook, readers, clock),
        new RecordingDesk(notebook, readers, clock),
        new SeatingDesk(notebook, readers, clock),
        new Papers(notebook, surveys, overview, findings, data, clock, zone),
        new SampleMagnet(notebook),
        new ColumnMeanings(notebook),
        findings,
        rounds,
        new Comparisons(notebook, surveys, findings, rounds),
        new SignIns(notebook, clock));
  }
}
