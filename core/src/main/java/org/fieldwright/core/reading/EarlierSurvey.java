package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.ArrayPlacement.Handling;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.OrthonormalColumns;
import org.fieldwright.core.harmonic.Sampling;
import org.jspecify.annotations.Nullable;

/**
 * What a survey shows beside an earlier one of the same magnet in the same state: how the array
 * stood and was handled, and which probes changed places where the survey alone could not tell.
 *
 * @param now the later survey; vetted once more if probes had to be exchanged
 * @param placement as {@link ArrayPlacement#rank} has it
 * @param findings mistakes that only the earlier survey shows
 */
public record EarlierSurvey(
    FittedSurvey now, List<ArrayPlacement> placement, List<Finding> findings) {

  /** Misfit per degree of freedom above which a moved array alone is no explanation. */
  public static final double FIELD_CHANGED = 4;

  public EarlierSurvey {
    placement = List.copyOf(placement);
    findings = List.copyOf(findings);
  }

  /**
   * Holds a survey against an earlier one.
   *
   * @param options the later one was vetted with
   */
  public static EarlierSurvey beside(
      FittedSurvey earlier, FittedSurvey later, ProbeArray array, VettingOptions options) {
    String file = earlier.vetted().survey().file();
    List<Finding> findings = new ArrayList<>();
    FittedSurvey now = later;
    List<ArrayPlacement> ranked = ArrayPlacement.rank(earlier.model(), now.model());
    if (ranked.get(0).misfit() > FIELD_CHANGED) {
      Swap swap = new Readings(later).exchange(earlier.model().ppm(), ranked);
      if (swap != null && ProbeExchange.isNamed(swap.evidence())) {
        Probe a = array.requireProbe(swap.first());
        Probe b = array.requireProbe(swap.second());
        now = Vetting.vet(later.vetted().survey().exchanged(a, b), array, options);
        ranked = ArrayPlacement.rank(earlier.model(), now.model());
        findings.add(ProbeExchange.finding(a, b, swap.evidence(), " against " + file));
      }
    }
    handled(file, ranked, findings);
    return new EarlierSurvey(now, ranked, findings);
  }

  private static void handled(String file, List<ArrayPlacement> ranked, List<Finding> findings) {
    ArrayPlacement best = ranked.get(0);
    ArrayPlacement asBefore =
        ranked.stream().filter(p -> p.handling() == Handling.AS_BEFORE).findFirst().orElse(best);
    Finding.What what =
        switch (best.handling()) {
          case AS_BEFORE -> null;
          case TURNED_THE_OTHER_WAY -> Finding.What.TURNED_THE_OTHER_WAY;
          case END_FOR_END -> Finding.What.END_FOR_END;
          case BOTH -> Finding.What.BOTH;
        };
    if (what == null) {
      return;
    }
    findings.add(
        Finding.of(
            what,
            String.format(
                Locale.ROOT,
                "Against %s the array was %s (2 ln odds %.0f over \"as before\"): every place along the bore or around it is mirrored.",
                file,
                best.handling().words(),
                best.evidenceOver(asBefore, best)),
            best.evidenceOver(asBefore, best),
            "Find out which of the two surveys is right before iron is placed by either; peak-to-peak and RMS about the centre are the same."));
  }

  /** Ids of two probes. */
  private record Swap(int first, int second, double evidence) {}

  /** The readings of the later survey as a table of probes and angles. */
  private static final class Readings {
    private final List<Reading> readings = new ArrayList<>();
    private final double[] ppm;
    private final Sampling sampling;
    private final List<Integer> probes;
    private final Set<Integer> loners;
    private final double scatter;

    Readings(FittedSurvey survey) {
      VettedSurvey v = survey.vetted();
      Expansion field = survey.model().ppm();
      List<Double> values = new ArrayList<>();
      Set<Integer> outliers = new TreeSet<>();
      for (VettedSurvey.Used u : v.used()) {
        readings.add(u.reading());
        values.add(field.at(u.reading().position()) + u.residualPpm());
      }
      for (VettedSurvey.SetAside a : v.setAside()) {
        if (a.why() == VettedSurvey.Why.OUTLIER && a.ppm() != null) {
          outliers.add(readings.size());
          readings.add(a.reading());
          values.add(field.at(a.reading().position()) + a.ppm());
        }
      }
      ppm = values.stream().mapToDouble(Double::doubleValue).toArray();
      probes = readings.stream().map(Readings::probe).distinct().sorted().toList();
      sampling = sampling();
      loners = ProbeExchange.loners(sampling, outliers);
      scatter = Math.max(1e-3, survey.model().residualRmsPpm());
    }

    private static int probe(Reading r) {
      return r.probe() == null ? -1 : r.probe();
    }

    private Sampling sampling() {
      int n = readings.size();
      List<Double> angles =
          readings.stream().map(r -> turned(r.angleDeg())).distinct().sorted().toList();
      Vec3[] points = new Vec3[n];
      double[] ones = new double[n];
      int[] probe = new int[n];
      int[] angle = new int[n];
      for (int i = 0; i < n; i++) {
        Reading r = readings.get(i);
        points[i] = r.position();
        ones[i] = 1;
        probe[i] = probe(r) < 0 ? -1 : probes.indexOf(probe(r));
        angle[i] = probe(r) < 0 ? -1 : angles.indexOf(turned(r.angleDeg()));
      }
      return new Sampling(points, ones, probe, angle);
    }

    private static double turned(@Nullable Double angleDeg) {
      return angleDeg == null ? 0 : Math.round((angleDeg % 360 + 360) % 360 * 100) / 100.0;
    }

    /**
     * The exchange that explains more than any handling of the array does; null if there is none.
     */
    @Nullable Swap exchange(Expansion before, List<ArrayPlacement> placements) {
      double asLabelled = Double.POSITIVE_INFINITY;
      double exchanged = Double.POSITIVE_INFINITY;
      ProbeExchange best = null;
      for (ArrayPlacement placement : placements) {
        Residuals fit = new Residuals(before, placement);
        asLabelled = Math.min(asLabelled, fit.square());
        ProbeExchange e = ProbeExchange.best(sampling, ppm, loners, fit::change);
        double left =
            e == null
                ? Double.POSITIVE_INFINITY
                : fit.square() + fit.change(e.difference(sampling, ppm, loners));
        if (left < exchanged) {
          exchanged = left;
          best = e;
        }
      }
      if (best == null) {
        return null;
      }
      double variance =
          Math.max(scatter * scatter, exchanged / Math.max(1, ppm.length - 7 - loners.size()));
      double evidence = (asLabelled - exchanged) / variance;
      boolean most = exchanged < ProbeExchange.LEAST_SHARE * asLabelled;
      return most ? new Swap(probes.get(best.first()), probes.get(best.second()), evidence) : null;
    }

    /**
     * What is left of the readings once the field before, a constant and a small further
     * displacement and rotation are taken out.
     */
    private final class Residuals {
      private final OrthonormalColumns columns = new OrthonormalColumns(ppm.length, 7);
      private final double[] residual;

      Residuals(Expansion before, ArrayPlacement placement) {
        int n = ppm.length;
        double[] off = ppm.clone();
        Expansion[] slopes = before.gradient();
        double[][] c = new double[7][n];
        for (int i = 0; i < n; i++) {
          if (loners.contains(i)) {
            off[i] = 0;
            continue;
          }
          Vec3 at = placement.stood(sampling.point(i));
          Vec3 g = Expansion.at(slopes, at);
          Vec3 turn = at.cross(g);
          off[i] -= before.at(at);
          double[] row = {1, g.x(), g.y(), g.z(), turn.x(), turn.y(), turn.z()};
          for (int k = 0; k < row.length; k++) {
            c[k][i] = row[k];
          }
        }
        for (double[] column : c) {
          columns.append(column, 1e-7);
        }
        residual = columns.remainder(off);
      }

      double square() {
        return Vectors.dot(residual, residual);
      }

      /** Of {@link #square()} if these are added to the readings. */
      double change(double[] d) {
        double[] c = columns.coordinates(d);
        return 2 * Vectors.dot(d, residual) + Vectors.dot(d, d) - Vectors.dot(c, c);
      }
    }
  }
}
