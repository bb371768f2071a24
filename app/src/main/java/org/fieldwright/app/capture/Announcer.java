package org.fieldwright.app.capture;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.core.reading.LiveFindings;
import org.fieldwright.core.reading.LiveFindings.OffReading;
import org.fieldwright.core.reading.LiveVetting;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.VettedSurvey.SuspectAngle;
import org.fieldwright.core.reading.VettedSurvey.SuspectProbe;
import org.jspecify.annotations.Nullable;

/**
 * Puts what the readings so far say into words for the person at the bore, nothing twice.
 *
 * <p>Missing locks are told from the readings themselves; the rest is what {@link LiveVetting} can
 * know by then.
 */
final class Announcer {
  private static final int MANY = 3;

  /** A setting that stands farther off is not given a place: the field there is too different. */
  private static final double FAR_DEG = 10;

  /** A drift is said again when it has moved by so many of its uncertainties. */
  private static final double MOVED = 2;

  private final LiveVetting vetting;
  private final Set<String> said = new HashSet<>();
  private final Map<String, Remark> standing = new LinkedHashMap<>();
  private int vetted; // settings
  private LiveFindings.@Nullable Rate rateSaid;

  Announcer(ProbeArray array) {
    vetting = new LiveVetting(array);
  }

  /**
   * Begins anew with what is left after something was taken back.
   *
   * @param left readings of one setting of the array each
   */
  void restart(List<List<Reading>> left) {
    said.clear();
    rateSaid = null;
    vetted = left.size();
    put(vetting.anew(left));
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
    boolean oneMore = settings.size() == vetted + 1;
    vetted = settings.size();
    sentences.addAll(put(oneMore ? vetting.after(setting) : vetting.anew(settings)));
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
        "Repeat %s: %s %s did not lock."
            .formatted(degrees(angleDeg), probes.size() == 1 ? "probe" : "probes", names));
  }

  /** Keeps what was found; what of it was not said yet. */
  private List<Remark> put(LiveFindings findings) {
    Map<String, Remark> found = found(findings);
    standing.clear();
    standing.putAll(found);
    List<Remark> sentences = new ArrayList<>();
    found.forEach(
        (key, sentence) -> {
          if (said.add(key)) {
            sentences.add(sentence);
          }
        });
    LiveFindings.Rate rate = findings.drift();
    if (rate != null && isNews(rate)) {
      rateSaid = rate;
      sentences.add(
          new Remark(
              Remark.Kind.DRIFT,
              null,
              "Drift %+.2f ± %.2f ppm/h."
                  .formatted(rate.ppmPerHour(), rate.uncertaintyPpmPerHour())));
    }
    return sentences;
  }

  private boolean isNews(LiveFindings.Rate rate) {
    LiveFindings.Rate before = rateSaid;
    return before == null
        || rate.uncertaintyPpmPerHour() < before.uncertaintyPpmPerHour() / MOVED
        || Math.abs(rate.ppmPerHour() - before.ppmPerHour())
            > MOVED * before.uncertaintyPpmPerHour();
  }

  /** Sentences by what they are about. */
  private static Map<String, Remark> found(LiveFindings findings) {
    Map<String, Remark> found = new LinkedHashMap<>();
    for (SuspectAngle s : findings.angles()) {
      String angle = degrees(s.angleDeg());
      found.put(
          "angle " + angle,
          new Remark(
              Remark.Kind.ANGLE,
              s.angleDeg(),
              Math.abs(s.errorDeg()) > FAR_DEG
                  ? "%s was read elsewhere: set it and take it again.".formatted(angle)
                  : "%s looks like %.1f ± %.2f°: set it and take it again."
                      .formatted(angle, s.angleDeg() + s.errorDeg(), s.uncertaintyDeg())));
    }
    for (SuspectProbe s : findings.probes()) {
      found.put(
          "probe " + s.probe(),
          new Remark(
              Remark.Kind.PROBE,
              null,
              "Probe %d reads %+.2f ± %.2f ppm off at every angle."
                  .formatted(s.probe(), s.offsetPpm(), s.uncertaintyPpm())));
    }
    Map<Double, List<OffReading>> outliers = new LinkedHashMap<>();
    for (OffReading r : findings.readings()) {
      outliers.computeIfAbsent(r.angleDeg(), a -> new ArrayList<>()).add(r);
    }
    outliers.forEach((angle, list) -> addOutliers(found, angle, list));
    return found;
  }

  private static void addOutliers(
      Map<String, Remark> found, double angleDeg, List<OffReading> outliers) {
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
    for (OffReading r : outliers) {
      found.put(
          "reading of " + r.probe() + " at " + angle,
          new Remark(
              Remark.Kind.READING,
              angleDeg,
              "Repeat %s: probe %d reads %+.2f ppm off.".formatted(angle, r.probe(), r.ppm())));
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
