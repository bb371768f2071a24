package org.fieldwright.app.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.fieldwright.app.assess.AssessmentText;
import org.fieldwright.app.compare.Comparison.Extent;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.correction.Suspicion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;

/** The comparison for a person at a terminal. */
public final class ComparisonText {
  private static final int LARGEST_TERMS = 8;

  private ComparisonText() {}

  /** The whole text. */
  public static String of(Comparison c) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "%s, %s → %s"
            .formatted(
                c.after().magnet().name(),
                c.before().vetted().survey().file(),
                c.after().vetted().survey().file()));
    lines.add("");
    limits(c, lines);
    lines.add(
        String.format(
            Locale.ROOT,
            "Centre field moved by %+.3f ± %.3f ppm",
            c.change().centreShiftPpm(),
            c.change().centreUncertaintyPpm()));
    Comparison.Round round = c.round();
    if (round != null) {
      lines.add("");
      round(round, lines);
    }
    lines.add("");
    terms(c, lines);
    if (!c.warnings().isEmpty()) {
      lines.add("");
      c.warnings().forEach(w -> lines.add("! " + w));
    }
    return String.join("\n", lines) + "\n";
  }

  private static void limits(Comparison c, List<String> lines) {
    for (int k = 0; k < c.after().limits().size(); k++) {
      LimitResult before = c.before().limits().get(k);
      LimitResult after = c.after().limits().get(k);
      lines.add(AssessmentText.verdict(after));
      if (before.valuePpm() != null && after.valuePpm() != null) {
        Comparison.Round round = c.round();
        String predicted =
            round == null
                ? ""
                : String.format(
                    Locale.ROOT,
                    ", predicted %.2f",
                    Objects.requireNonNull(round.predicted().get(k).valuePpm()));
        lines.add(
            String.format(
                Locale.ROOT,
                "           %.2f before%s, %.2f found",
                before.valuePpm(),
                predicted,
                after.valuePpm()));
      }
    }
  }

  private static void round(Comparison.Round round, List<String> lines) {
    RoundReview review = round.review();
    for (RoundReview.Strength s : review.strengths()) {
      lines.add(
          String.format(
              Locale.ROOT,
              "Strength of %s: %.4f ± %.4f of what was assumed; %.4f for the magnet file",
              s.piece(),
              s.factor(),
              s.uncertainty(),
              s.learned()));
    }
    for (int k = 0; k < round.left().size(); k++) {
      Extent sheet = round.left().get(k);
      Extent learned = round.leftLearned().get(k);
      lines.add(
          String.format(
              Locale.ROOT,
              "Found less predicted over %s: %.2f ppm peak-to-peak, %.3f RMS by the sheet; %.2f and %.3f with the strength learned",
              sheet.limit(),
              sheet.peakToPeak(),
              sheet.rms(),
              learned.peakToPeak(),
              learned.rms()));
    }
    lines.add(
        String.format(
            Locale.ROOT,
            "Misfit %.0f over %d degrees of freedom",
            review.misfit(),
            review.degreesOfFreedom()));
    suspicions(review.suspicions(), lines);
  }

  private static void suspicions(List<Suspicion> suspicions, List<String> lines) {
    List<Suspicion> strong =
        suspicions.stream().filter(s -> s.evidence() > Suspicion.STRONG).toList();
    if (strong.isEmpty()) {
      lines.add("No single mistake of loading explains the field better than the sheet does.");
      return;
    }
    lines.add("What may differ from the sheet, the likeliest first (2 ln odds against the sheet):");
    strong.forEach(s -> lines.add("  " + suspicion(s)));
  }

  private static String suspicion(Suspicion s) {
    StringBuilder text = new StringBuilder();
    if (s.tray() != null) {
      text.append("tray ").append(s.tray());
    }
    if (s.otherTray() != null) {
      text.append(" and tray ").append(s.otherTray());
    }
    if (s.pocket() != null) {
      text.append(" pocket ").append(s.pocket()).append(" (").append(s.piece()).append(")");
    }
    text.append(text.length() == 0 ? "" : ": ").append(s.kind().words());
    if (s.pieces() != null && s.piecesUncertainty() != null) {
      text.append(
          String.format(Locale.ROOT, " by %+.1f ± %.1f pieces", s.pieces(), s.piecesUncertainty()));
    }
    return text.append(String.format(Locale.ROOT, "  [%.0f]", s.evidence())).toString();
  }

  private static void terms(Comparison c, List<String> lines) {
    lines.add(
        String.format(
            Locale.ROOT,
            "Largest changes at %.1f mm, Schmidt, ppm:",
            1e3 * c.change().ppm().referenceRadius()));
    c.change().terms().stream()
        .sorted(
            Comparator.comparingDouble((Integer i) -> -Math.abs(c.change().ppm().coefficient(i))))
        .limit(LARGEST_TERMS)
        .forEach(i -> lines.add(term(c, i)));
  }

  private static String term(Comparison c, int i) {
    Term t = Term.at(i);
    Comparison.Round round = c.round();
    String predicted =
        round == null
            ? ""
            : String.format(
                Locale.ROOT, "   predicted %+9.3f", round.review().predicted().coefficient(i));
    return String.format(
        Locale.ROOT,
        "  n %2d  m %2d  %s  %+9.3f ± %.3f%s",
        t.n(),
        t.m(),
        t.part().id(),
        c.change().ppm().coefficient(i),
        c.change().standardUncertainty(t),
        predicted);
  }
}
