package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.reading.VettedSurvey.Drift;
import org.fieldwright.core.reading.VettedSurvey.SetAside;
import org.jspecify.annotations.Nullable;

/** What was read, what of it is trusted, and why the rest is not. */
final class SurveySection {
  /** Beyond this many, the list stops and says how many follow: a page is for reading. */
  private static final int MOST_LISTED = 400;

  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;

  SurveySection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
  }

  void write(Page page) {
    page.heading(1, "survey", "Data: the survey as found");
    survey(page, report.found(), "found");
    for (int k = 0; k < report.rounds().size(); k++) {
      VisitReport.Surveyed after = report.rounds().get(k).after();
      if (after != null) {
        page.heading(1, "survey-after-" + (k + 1), "Data: the survey after round " + (k + 1));
        survey(page, after, "after-" + (k + 1));
      }
    }
    inputs(page);
  }

  private void survey(Page page, VisitReport.Surveyed surveyed, String id) {
    VettedSurvey survey = surveyed.survey();
    page.lead(
        numerals.sentence(
            "Readings: %,d; used: %,d; set aside: %,d; revisits that tell the drift: %,d.",
            survey.survey().readings().size(),
            survey.used().size(),
            survey.setAside().size(),
            survey.revisits().size()));
    page.facts(facts(surveyed));
    setAside(page, survey, id);
    suspects(page, survey, id);
    if (!survey.warnings().isEmpty()) {
      page.heading(2, "warnings-" + id, "Warnings");
      page.warnings(survey.warnings());
    }
    if (!survey.survey().notes().isEmpty()) {
      page.heading(2, "notes-" + id, "Notes from reading the file");
      page.list(survey.survey().notes().stream().map(numerals::prose).toList());
    }
  }

  private List<Fact> facts(VisitReport.Surveyed surveyed) {
    VettedSurvey survey = surveyed.survey();
    FieldModel model = surveyed.model();
    ProbeArray array = report.magnet().array();
    List<Fact> facts = new ArrayList<>();
    facts.add(new Fact("file", survey.survey().file()));
    facts.add(new Fact("taken", taken(survey)));
    facts.add(new Fact("array", array.name()));
    facts.add(new Fact("calibrated", calibrated(array)));
    facts.add(new Fact("centre field", centre(model, array)));
    facts.add(
        new Fact(
            "readings, peak-to-peak",
            "%s ppm over the readings used"
                .formatted(numerals.significant(surveyed.readingsPeakToPeakPpm(), 4))));
    facts.add(new Fact("drift", drift(survey.drift())));
    facts.add(
        new Fact(
            "field model",
            "degree %d: %s".formatted(model.ppm().degree(), numerals.prose(model.degreeReason()))));
    facts.add(new Fact("residuals", residuals(model)));
    return facts;
  }

  private String taken(VettedSurvey survey) {
    ZoneId zone = report.provenance().zone();
    List<Instant> times =
        survey.survey().readings().stream()
            .map(Reading::time)
            .filter(Objects::nonNull)
            .map(Objects::requireNonNull)
            .sorted()
            .toList();
    if (times.isEmpty()) {
      return "the file states no times";
    }
    return "%s to %s"
        .formatted(
            Wording.time(times.get(0), zone), Wording.time(times.get(times.size() - 1), zone));
  }

  private static String calibrated(ProbeArray array) {
    if (array.calibrated() == null) {
      return "not stated";
    }
    return array.calibrationIntervalMonths() == null
        ? array.calibrated().toString()
        : "%s, interval in months: %d"
            .formatted(array.calibrated(), array.calibrationIntervalMonths());
  }

  private String centre(FieldModel model, ProbeArray array) {
    double ppm = Math.sqrt(model.covariance().at(0, 0));
    return "%s T, %s MHz; U = %s ppm, the sample's constant taken as exact"
        .formatted(
            numerals.decimals(model.centreField(), 9),
            numerals.decimals(model.centreField() * array.gammaMHzPerT(), 7),
            numerals.significant(Wording.COVERAGE * ppm, 2));
  }

  private String drift(@Nullable Drift drift) {
    if (drift == null) {
      return "unknown: no place was read twice";
    }
    String spread = numerals.significant(drift.spreadPpm(), 2);
    Double rate = drift.ppmPerHour();
    if (rate == null) {
      return numerals.sentence(
          "removed along the order of the readings; revisits: %,d; agreement among them: %s ppm",
          drift.pairs(), spread);
    }
    return numerals.sentence(
        "%s ppm/h, removed; revisits: %,d; agreement among them: %s ppm",
        numerals.withUncertainty(rate, Wording.expanded(drift.uncertaintyPpmPerHour())),
        drift.pairs(),
        spread);
  }

  private String residuals(FieldModel model) {
    return numerals.sentence(
        "%s ppm RMS; degrees of freedom: %,d; condition number %s; largest radius read %s mm",
        numerals.significant(model.residualRmsPpm(), 2),
        model.degreesOfFreedom(),
        numerals.significant(model.condition(), 3),
        words.mm(model.measuredRadius()));
  }

  private void setAside(Page page, VettedSurvey survey, String id) {
    if (survey.setAside().isEmpty()) {
      return;
    }
    page.heading(2, "set-aside-" + id, "Readings set aside");
    List<List<String>> rows = survey.setAside().stream().limit(MOST_LISTED).map(this::row).toList();
    page.table(
        List.of(
            Column.number("row in file"),
            Column.number("probe"),
            Column.number("angle, °"),
            Column.number("at (x, y, z), mm"),
            Column.text("why"),
            Column.number("reading − fit, ppm")),
        rows);
    int more = survey.setAside().size() - rows.size();
    if (more > 0) {
      page.note(numerals.sentence("Further readings set aside, not listed here: %,d.", more));
    }
  }

  private List<String> row(SetAside aside) {
    Reading r = aside.reading();
    Double angle = r.angleDeg();
    Double ppm = aside.ppm();
    return List.of(
        Integer.toString(r.row()),
        r.probe() == null ? "–" : r.probe().toString(),
        angle == null ? "–" : numerals.trimmed(angle, 3),
        words.place(r.position()),
        Wording.why(aside.why()),
        ppm == null ? "–" : numerals.significant(ppm, 3));
  }

  private void suspects(Page page, VettedSurvey survey, String id) {
    List<List<String>> rows = new ArrayList<>();
    for (VettedSurvey.SuspectProbe p : survey.suspectProbes()) {
      rows.add(
          List.of(
              "probe " + p.probe(),
              "reads off as a whole: offset (reading − truth)",
              numerals.withUncertainty(p.offsetPpm(), Wording.expanded(p.uncertaintyPpm()))
                  + " ppm"));
    }
    for (VettedSurvey.SuspectAngle a : survey.suspectAngles()) {
      rows.add(
          List.of(
              "angle " + numerals.trimmed(a.angleDeg(), 3) + "°",
              "was not where the sheet says: error (true − stated)",
              numerals.withUncertainty(a.errorDeg(), Wording.expanded(a.uncertaintyDeg())) + "°"));
    }
    if (!rows.isEmpty()) {
      page.heading(2, "suspects-" + id, "Suspect probes and angles");
      page.table(
          List.of(Column.text("what"), Column.text("suspicion"), Column.number("by, ± U")), rows);
    }
    if (!survey.freed().isEmpty()) {
      page.heading(
          2, "freed-" + id, "Carried in the fit beside the field, as the magnet file asks");
      page.table(
          List.of(Column.text("what"), Column.text("meaning"), Column.number("found, ± U")),
          survey.freed().stream().map(this::freed).toList());
    }
  }

  private List<String> freed(VettedSurvey.Freed f) {
    String found = numerals.withUncertainty(f.value(), Wording.expanded(f.uncertainty()));
    if (f instanceof VettedSurvey.Freed.Offset o) {
      return List.of("probe " + o.probe(), "offset (reading − truth)", found + " ppm");
    }
    return f instanceof VettedSurvey.Freed.Angle a
        ? List.of(
            "angle " + numerals.trimmed(a.angleDeg(), 3) + "°",
            "error (true − stated)",
            found + "°")
        : List.of("drift", "of all readings, beyond what revisits show", found + " ppm/h");
  }

  private void inputs(Page page) {
    page.heading(2, "inputs", "Input files");
    new Frame(page.markup()).inputs(report.provenance().inputs());
  }
}
