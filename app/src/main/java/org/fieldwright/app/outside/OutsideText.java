package org.fieldwright.app.outside;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.outside.OutsideFinding;
import org.fieldwright.core.outside.OutsideSource;
import org.fieldwright.core.outside.SurveyReadings;

/** The search for iron outside for a person at a terminal: the answer first. */
public final class OutsideText {
  private static final double MM = 1e3;
  private static final double GRAMS = 1e3;
  private static final double KILOGRAM = 1;

  private OutsideText() {}

  /** The whole text. */
  public static String of(OutsideAnswer a) {
    List<String> lines = new ArrayList<>();
    lines.add(title(a));
    lines.add("");
    lines.add(answer(a));
    for (OutsideSource s : a.finding().sources()) {
      lines.add("");
      source(s, a, lines);
    }
    for (List<Vec3> places : a.finding().elsewhere()) {
      lines.add(
          "Cannot be told from "
              + places.stream().map(OutsideText::at).collect(Collectors.joining(" with ")));
    }
    lines.add("");
    evidence(a.finding(), lines);
    lines.add("");
    least(a.finding(), lines);
    lines.add("");
    lines.add(next(a));
    if (!a.warnings().isEmpty()) {
      lines.add("");
      a.warnings().forEach(w -> lines.add("! " + w));
    }
    return String.join("\n", lines) + "\n";
  }

  private static String title(OutsideAnswer a) {
    Assessment since = a.since();
    String surveys = OutsideService.name(a.survey());
    return "%s, %s: %s"
        .formatted(
            a.survey().magnet().name(),
            since == null ? surveys : surveys + " since " + OutsideService.name(since),
            basis(a));
  }

  private static String basis(OutsideAnswer a) {
    int n = a.finding().readings();
    return switch (a.basis()) {
      case ONE_SURVEY -> "%d readings of one survey".formatted(n);
      case DIFFERENCE -> "the change at %d places read in both".formatted(n);
      case BOTH_TOGETHER -> "%d readings of both in one fit, as their places differ".formatted(n);
    };
  }

  private static String answer(OutsideAnswer a) {
    OutsideFinding f = a.finding();
    int count = f.sources().size();
    return switch (f.verdict()) {
      case NOTHING_SEEN ->
          a.stopped()
              ? "Nothing outside was seen to disturb the field till the search was stopped."
              : "Nothing outside is seen to disturb the field.";
      case LOCATED ->
          count == 1
              ? "One piece outside disturbs the field."
              : "%d pieces outside disturb the field.".formatted(count);
      case NOT_LOCATED ->
          "Something outside disturbs the field, but it cannot be located from these readings.";
    };
  }

  private static void source(OutsideSource s, OutsideAnswer a, List<String> lines) {
    boolean located = a.finding().verdict() == OutsideFinding.Verdict.LOCATED;
    lines.add(
        located
            ? String.format(
                Locale.ROOT,
                "About %s of iron at %s: %.2f m from the centre, %.2f m from the axis, %s.",
                mass(s),
                at(s.position()),
                s.position().norm(),
                Math.hypot(s.position().x(), s.position().y()),
                towards(s.position()))
            : "If it is one small piece, %s; the best guess is %s of iron at %s."
                .formatted(towards(s.position()), mass(s), at(s.position())));
    lines.add(
        "  Its place is known to %s mm (95 %% ellipsoid, semi-axes); one standard uncertainty is %s mm in x, y, z."
            .formatted(
                s.ellipsoid().stream()
                    .map(v -> length(v.norm()))
                    .collect(Collectors.joining(" × ")),
                List.of(s.uncertainty().x(), s.uncertainty().y(), s.uncertainty().z()).stream()
                    .map(OutsideText::length)
                    .collect(Collectors.joining(", "))));
    lines.add("  " + magnetised(s, a));
  }

  private static String magnetised(OutsideSource s, OutsideAnswer a) {
    String mass = "The mass is that of saturated iron (2.1 T): iron in a weaker field weighs more.";
    if (a.finding().directionFree()) {
      return String.format(
          Locale.ROOT,
          "Magnetised at %.0f° to the field axis, which the readings ask for. %s",
          Math.toDegrees(Math.acos(Math.max(-1, Math.min(1, s.onField())))),
          mass);
    }
    if (s.onField() > 0) {
      return "Taken to be magnetised along the field axis. " + mass;
    }
    return (a.basis() == SurveyReadings.Basis.ONE_SURVEY
            ? "Magnetised against the field axis, as iron beside a magnet is, where the stray field runs back. "
            : "Magnetised against the field axis: a piece that is gone, or one that came beside the magnet, where the stray field runs back. ")
        + mass;
  }

  private static void evidence(OutsideFinding f, List<String> lines) {
    lines.add(
        "Evidence (twice the log odds against no source; a richer explanation is taken only when above 10 better):");
    for (OutsideFinding.Evidence e : f.evidence()) {
      if (e.sources() > 0) {
        lines.add(
            String.format(
                Locale.ROOT,
                "  %d source%s %10.1f   misfit %.0f, %d unknowns, %s",
                e.sources(),
                e.sources() == 1 ? ", " : "s,",
                e.againstNone(),
                e.misfit(),
                e.unknowns(),
                e.directionFree() ? "any direction of the moment" : "moment along the field"));
      } else {
        lines.add(
            String.format(
                Locale.ROOT,
                "  no source          0.0   misfit %.0f, %d unknowns",
                e.misfit(),
                e.unknowns()));
      }
    }
    lines.add(
        String.format(
            Locale.ROOT,
            "Harmonics to degree %d are free beside the pieces; scatter %.3f ppm a reading, %.3f ppm left.",
            f.degree(),
            f.scatter(),
            f.left()));
  }

  private static void least(OutsideFinding f, List<String> lines) {
    lines.add(
        "The least iron that would show from every side: "
            + f.least().stream()
                .map(l -> String.format(Locale.ROOT, "%s at %.2f m", mass(l.iron()), l.distance()))
                .collect(Collectors.joining(", "))
            + ".");
  }

  private static String next(OutsideAnswer a) {
    return switch (a.finding().verdict()) {
      case LOCATED ->
          "Next: look there for a tool, a trolley or building steel; take it away with the field's pull in mind, and survey again.";
      case NOT_LOCATED ->
          "Next: look in that direction; a survey nearer the bore wall, or with less scatter, would narrow it down.";
      case NOTHING_SEEN ->
          a.since() == null
              ? "Next: hold the survey against an earlier one with --since, which shows far less iron."
              : "Next: nothing to do here.";
    };
  }

  private static String mass(OutsideSource s) {
    boolean heavy = s.iron() >= KILOGRAM;
    double scale = heavy ? 1 : GRAMS;
    int decimals = decimals(scale * s.ironUncertainty());
    return String.format(
        Locale.ROOT,
        "%." + decimals + "f ± %." + decimals + "f %s",
        scale * s.iron(),
        scale * s.ironUncertainty(),
        heavy ? "kg" : "g");
  }

  private static String mass(double kilograms) {
    boolean heavy = kilograms >= KILOGRAM;
    double value = heavy ? kilograms : GRAMS * kilograms;
    return String.format(Locale.ROOT, "%." + decimals(value) + "f %s", value, heavy ? "kg" : "g");
  }

  /** So many that two digits of it show. */
  private static int decimals(double uncertainty) {
    return uncertainty > 0
        ? (int) Math.max(0, Math.min(4, Math.ceil(1 - Math.log10(uncertainty) - 1e-9)))
        : 0;
  }

  private static String length(double metres) {
    double mm = MM * metres;
    return String.format(Locale.ROOT, "%." + Math.min(2, decimals(mm)) + "f", mm);
  }

  private static String at(Vec3 p) {
    return String.format(
        Locale.ROOT, "x %.0f, y %.0f, z %.0f mm", MM * p.x(), MM * p.y(), MM * p.z());
  }

  private static String towards(Vec3 p) {
    double azimuth = Math.toDegrees(p.azimuth());
    return String.format(
        Locale.ROOT,
        "at azimuth %.0f° (from +x towards +y) on the %s side",
        azimuth < 0 ? azimuth + 360 : azimuth,
        p.z() < 0 ? "−z" : "+z");
  }
}
