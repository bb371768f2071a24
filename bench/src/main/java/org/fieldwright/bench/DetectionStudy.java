package org.fieldwright.bench;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.reading.Vetting;
import org.fieldwright.core.reading.VettingOptions;

/**
 * How many bad readings vetting finds and how many good ones it sets aside, in random virtual
 * surveys, beside the detector that knows the true field and the true noise. {@code
 * bench/detection.sh} makes the table and the plot of docs/method/vetting.md from it.
 */
public final class DetectionStudy {
  private static final double RADIUS = 0.2;
  private static final double FIELD_T = 0.55;
  private static final double NOISE_PPM = 0.02;
  private static final int RICHEST = 24; // degree of the true fields
  private static final double MOST_BAD = 0.05;

  /** With no more terms in the field than this share of the readings there are some to spare. */
  private static final double MOST_UNKNOWNS = 0.3;

  private static final int[] PROBES = {16, 20, 24};
  private static final int[] ANGLES = {16, 20, 24};

  /** Two-sided limit of the ideal detector: one good reading in 10 surveys of 576. */
  private static final double IDEAL_LIMIT = 3.76;

  /**
   * A kind of survey.
   *
   * @param leastRatio of a coefficient to the one a degree below, at least
   * @param mostRatio ... and at most: 0.54 is a source at 370 mm seen at 200 mm
   * @param position stated and drawn standard deviation of a probe's place, m
   * @param angle of each setting of the array, rad
   * @param normalisationPpm of each probe
   */
  private record Regime(
      double leastRatio, double mostRatio, double position, double angle, double normalisationPpm) {

    static Regime named(String name) {
      return switch (name) {
        case "resolved" -> new Regime(0.2, 0.4, 0, 0, 0);
        case "rich" -> new Regime(0.4, 0.54, 0, 0, 0);
        case "misplaced" -> new Regime(0.2, 0.4, 1e-4, 1e-3, 0.02);
        default -> throw new IllegalArgumentException("resolved, rich or misplaced: " + name);
      };
    }
  }

  private final Regime regime;
  private int surveys;
  private int bad;
  private int found;
  private int wronged;
  private int surveysWronged;
  private int shared;
  private int idealFound;
  private int idealWronged;
  private int badSpare; // in surveys with readings to spare
  private int foundSpare;

  private DetectionStudy(Regime regime) {
    this.regime = regime;
  }

  /**
   * Prints a row for each round and size of fault, in units of the noise; 0 = sound surveys.
   *
   * @param args {@code REGIME ROUNDS SURVEYS SIZE…}, surveys in each round
   */
  public static void main(String[] args) {
    System.out.println(
        "regime,size,surveys,bad,found,good_set_aside,surveys_with_good_set_aside,shared_named,ideal_found,ideal_good_set_aside,bad_spare,found_spare");
    for (int round = 0; round < Integer.parseInt(args[1]); round++) {
      for (int k = 3; k < args.length; k++) {
        DetectionStudy study = new DetectionStudy(Regime.named(args[0]));
        SplittableRandom random = new SplittableRandom(1000L * round + k);
        while (study.surveys < Integer.parseInt(args[2])) {
          study.one(Double.parseDouble(args[k]), random.split());
        }
        study.print(args[0], args[k]);
      }
    }
  }

  private void print(String name, String size) {
    System.out.printf(
        Locale.ROOT,
        "%s,%s,%d,%d,%d,%d,%d,%d,%d,%d,%d,%d%n",
        name,
        size,
        surveys,
        bad,
        found,
        wronged,
        surveysWronged,
        shared,
        idealFound,
        idealWronged,
        badSpare,
        foundSpare);
  }

  private void one(double size, SplittableRandom random) {
    int probes = PROBES[random.nextInt(PROBES.length)];
    int angles = ANGLES[random.nextInt(ANGLES.length)];
    ProbeArray array =
        GaussianArray.of(
            probes,
            RADIUS,
            new ProbeArray.Uncertainty(
                NOISE_PPM, regime.position(), regime.angle(), regime.normalisationPpm()));
    double[] error = errors(probes * angles, random);
    Set<Integer> faulty = new HashSet<>();
    int wanted = size == 0 ? 0 : 1 + random.nextInt((int) Math.round(MOST_BAD * error.length));
    while (faulty.size() < wanted) {
      int i = random.nextInt(error.length);
      if (faulty.add(i)) {
        error[i] += NOISE_PPM * size * (random.nextBoolean() ? 1 : -1);
      }
    }
    Expansion field = field(random);
    VettedSurvey vetted =
        Vetting.vet(survey(array, field, angles, error, random), array, VettingOptions.DEFAULT)
            .vetted();
    int wrongedBefore = wronged;
    int foundBefore = found;
    for (VettedSurvey.SetAside aside : vetted.setAside()) {
      boolean right = faulty.contains(aside.reading().row());
      found += right ? 1 : 0;
      wronged += right ? 0 : 1;
    }
    for (int i = 0; i < error.length; i++) {
      boolean named = Math.abs(error[i]) > IDEAL_LIMIT * NOISE_PPM;
      idealFound += named && faulty.contains(i) ? 1 : 0;
      idealWronged += named && !faulty.contains(i) ? 1 : 0;
    }
    surveys++;
    bad += wanted;
    if (terms(field, angles) <= MOST_UNKNOWNS * error.length) {
      badSpare += wanted;
      foundSpare += found - foundBefore;
    }
    surveysWronged += wronged > wrongedBefore ? 1 : 0;
    shared += vetted.suspectProbes().size() + vetted.suspectAngles().size();
  }

  /** Terms that so many angles show, up to the degree above which a field is below the noise. */
  private static long terms(Expansion field, int angles) {
    int degree = 1;
    while (above(field, degree) > NOISE_PPM / 2) {
      degree++;
    }
    return IntStream.range(0, Term.count(degree)).filter(k -> 2 * Term.at(k).m() < angles).count();
  }

  /** Root mean square over the array's sphere of what a field has above a degree, ppm. */
  private static double above(Expansion field, int degree) {
    double square = 0;
    for (int k = Term.count(degree); k < Term.count(field.degree()); k++) {
      square += Math.pow(field.coefficient(k), 2) / (2 * Term.at(k).n() + 1);
    }
    return Math.sqrt(square);
  }

  private static double[] errors(int count, SplittableRandom random) {
    double[] error = new double[count];
    for (int i = 0; i < count; i++) {
      error[i] = NOISE_PPM * random.nextGaussian();
    }
    return error;
  }

  /** A field read with these errors, beside what the regime misplaces. */
  private Survey survey(
      ProbeArray array, Expansion field, int angles, double[] error, SplittableRandom random) {
    int probes = array.probes().size();
    Vec3[] shift = new Vec3[probes];
    double[] offset = new double[probes];
    for (int p = 0; p < probes; p++) {
      shift[p] =
          new Vec3(random.nextGaussian(), random.nextGaussian(), random.nextGaussian())
              .times(regime.position());
      offset[p] = regime.normalisationPpm() * random.nextGaussian();
    }
    List<Reading> readings = new ArrayList<>();
    for (int a = 0; a < angles; a++) {
      double stated = 360.0 * a / angles;
      double phi = Math.toRadians(stated) + regime.angle() * random.nextGaussian();
      for (int p = 0; p < probes; p++) {
        Probe probe = array.probes().get(p);
        int i = readings.size();
        Vec3 nominal = Vec3.spherical(RADIUS, probe.polar(), Math.toRadians(stated));
        Vec3 truly =
            Vec3.spherical(
                RADIUS + shift[p].x(),
                probe.polar() + shift[p].y() / RADIUS,
                phi + shift[p].z() / RADIUS);
        double ppm = field.at(truly) + offset[p] + error[i];
        readings.add(
            new Reading(
                i,
                probe.id(),
                stated,
                nominal,
                FIELD_T * (1 + ppm * 1e-6),
                null,
                null,
                null,
                Instant.EPOCH.plusSeconds(60L * a + p),
                null));
      }
    }
    return new Survey("study.csv", Survey.Kind.TURNING_ARRAY, readings, true, Map.of(), List.of());
  }

  /** Coefficients that fall by the same ratio from degree to degree, 5 to 300 ppm at the first. */
  private Expansion field(SplittableRandom random) {
    double first = 5 * Math.pow(60, random.nextDouble());
    double ratio = random.nextDouble(regime.leastRatio(), regime.mostRatio());
    double[] c = new double[Term.count(RICHEST)];
    for (int k = 1; k < c.length; k++) {
      c[k] = first * Math.pow(ratio, Term.at(k).n() - 1) * random.nextGaussian();
    }
    return new Expansion(RADIUS, c);
  }
}
