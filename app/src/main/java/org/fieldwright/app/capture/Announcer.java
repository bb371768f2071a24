package org.fieldwright.app.capture;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.reading.VettedSurvey.Drift;
import org.fieldwright.core.reading.VettedSurvey.SuspectAngle;
import org.fieldwright.core.reading.VettedSurvey.SuspectProbe;
import org.fieldwright.core.reading.Vetting;
import org.fieldwright.core.reading.VettingOptions;
import org.jspecify.annotations.Nullable;

/**
 * Puts what the readings so far say into words for the person at the bore, nothing twice.
 *
 * <p>A missing lock is said at once. The rest comes from vetting the readings so far as a survey of
 * their own, once no gap between the angles is wider than {@value #WIDEST_GAP_DEG}°: over a part of
 * the turn the field is not determined, and one wrong angle makes its neighbours look wrong. What
 * only one vetting finds is not said before the next one finds it too.
 */
final class Announcer {
  private static final double WIDEST_GAP_DEG = 90;
  private static final int MANY = 3;

  private final ProbeArray array;
  private final Set<String> said = new HashSet<>();
  private final Map<String, Remark> standing = new LinkedHashMap<>();
  private Set<String> foundBefore = Set.of();

  Announcer(ProbeArray array) {
    this.array = array;
  }

  /**
   * Begins anew with what is left after something was taken back.
   *
   * @param left readings of one setting of the array each
   */
  void restart(List<List<Reading>> left) {
    said.clear();
    vet(left);
  }

  /**
   * What there is to say after one more setting of the array, or after missing locks of one were
   * read again.
   *
   * @param settings all there are now; the last is the one just read
   */
  List<Remark> after(List<List<Reading>> settings) {
    List<Reading> setting = settings.get(settings.size() - 1);
    List<Remark> sentences = new ArrayList<>();
    List<?> silent =
        setting.stream()
            .filter(r -> r.field() == null)
            .map(r -> String.valueOf(r.probe()))
            .toList();
    if (!silent.isEmpty()) {
      sentences.add(silent(angleOf(setting.get(0)), silent));
    }
    sentences.addAll(vet(settings));
    return sentences;
  }

  /** Everything that stands against the readings so far, said before or not. */
  List<Remark> standing() {
    return List.copyOf(standing.values());
  }

  /** What there is to say of locks that are missing at a setting. */
  static Remark silent(double angleDeg, List<?> probes) {
    String names = probes.stream().map(String::valueOf).collect(Collectors.joining(", "));
    return new Remark(
        Remark.Kind.LOCK,
        angleDeg,
        "Repeat %s: probe %s did not lock.".formatted(degrees(angleDeg), names));
  }

  private List<Remark> vet(List<List<Reading>> settings) {
    List<Reading> readings = settings.stream().flatMap(List::stream).toList();
    VettedSurvey vetted = widestGapDeg(readings) > WIDEST_GAP_DEG ? null : vetted(readings);
    Map<String, Remark> found = vetted == null ? Map.of() : found(vetted);
    List<Remark> sentences = new ArrayList<>();
    standing.clear();
    found.forEach(
        (key, sentence) -> {
          if (foundBefore.contains(key)) {
            standing.put(key, sentence);
            if (said.add(key)) {
              sentences.add(sentence);
            }
          }
        });
    foundBefore = Set.copyOf(found.keySet());
    if (vetted != null) {
      addDrift(sentences, vetted.drift());
    }
    return sentences;
  }

  private static double widestGapDeg(List<Reading> readings) {
    double[] angles =
        readings.stream()
            .mapToDouble(r -> CapturePlan.turn(angleOf(r)))
            .sorted()
            .distinct()
            .toArray();
    double widest = angles.length == 0 ? 360 : 360 - angles[angles.length - 1] + angles[0];
    for (int i = 1; i < angles.length; i++) {
      widest = Math.max(widest, angles[i] - angles[i - 1]);
    }
    return widest;
  }

  private @Nullable VettedSurvey vetted(List<Reading> readings) {
    Survey survey =
        new Survey("the survey", Survey.Kind.TURNING_ARRAY, readings, true, Map.of(), List.of());
    try {
      return Vetting.vet(survey, array, VettingOptions.DEFAULT).vetted();
    } catch (BadInput e) {
      return null; // too few locks to check one by the others; the next setting brings more
    }
  }

  /** Sentences by what they are about. */
  private static Map<String, Remark> found(VettedSurvey vetted) {
    Map<String, Remark> found = new LinkedHashMap<>();
    for (SuspectAngle s : vetted.suspectAngles()) {
      String angle = degrees(s.angleDeg());
      found.put(
          "angle " + angle,
          new Remark(
              Remark.Kind.ANGLE,
              s.angleDeg(),
              "%s looks like %.1f ± %.2f°: set it and take it again."
                  .formatted(angle, s.angleDeg() + s.errorDeg(), s.uncertaintyDeg())));
    }
    for (SuspectProbe s : vetted.suspectProbes()) {
      found.put(
          "probe " + s.probe(),
          new Remark(
              Remark.Kind.PROBE,
              null,
              "Probe %d reads %+.2f ± %.2f ppm off at every angle."
                  .formatted(s.probe(), s.offsetPpm(), s.uncertaintyPpm())));
    }
    Map<Double, List<VettedSurvey.SetAside>> outliers = new LinkedHashMap<>();
    for (VettedSurvey.SetAside s : vetted.setAside()) {
      if (s.ppm() != null) {
        outliers.computeIfAbsent(angleOf(s.reading()), a -> new ArrayList<>()).add(s);
      }
    }
    outliers.forEach((angle, list) -> addOutliers(found, angle, list));
    return found;
  }

  private static void addOutliers(
      Map<String, Remark> found, double angleDeg, List<VettedSurvey.SetAside> outliers) {
    String angle = degrees(angleDeg);
    if (outliers.size() > MANY) {
      found.put(
          "readings of " + angle,
          new Remark(
              Remark.Kind.READING,
              angleDeg,
              "Repeat %s: %d probes read off.".formatted(angle, outliers.size())));
      return;
    }
    for (VettedSurvey.SetAside s : outliers) {
      found.put(
          "reading of " + s.reading().probe() + " at " + angle,
          new Remark(
              Remark.Kind.READING,
              angleDeg,
              "Repeat %s: probe %d reads %+.2f ppm off."
                  .formatted(angle, s.reading().probe(), s.ppm())));
    }
  }

  private static void addDrift(List<Remark> sentences, @Nullable Drift drift) {
    Double rate = drift == null ? null : drift.ppmPerHour();
    Double uncertainty = drift == null ? null : drift.uncertaintyPpmPerHour();
    if (rate != null && uncertainty != null) {
      sentences.add(
          new Remark(
              Remark.Kind.DRIFT, null, "Drift %+.2f ± %.2f ppm/h.".formatted(rate, uncertainty)));
    }
  }

  private static double angleOf(Reading reading) {
    Double angle = reading.angleDeg();
    return angle == null ? Double.NaN : angle;
  }

  /** As people write it: 90°, 7.5°. */
  static String degrees(double angleDeg) {
    return shortly(angleDeg) + "°";
  }

  /** To two decimals, without zeros that say nothing. */
  static String shortly(double value) {
    return String.format(Locale.ROOT, "%.2f", value).replaceFirst("\\.?0+$", "");
  }
}
