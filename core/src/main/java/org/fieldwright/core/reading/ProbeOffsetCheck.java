package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.OrthonormalColumns;

/**
 * What each probe reads too high, from bringing every probe in turn to one place.
 *
 * <p>Least squares of v = offset of the probe + drift(t) over visits, a visit being the mean of the
 * samples that one probe took in a row. The drift is a straight line through the visits of probes
 * that came back, or a parabola where that lowers the leave-one-out error of those visits. Only
 * differences between probes show: the mean of the offsets stays what the array states.
 *
 * @param offsets in the order of the array
 * @param visits how many the offsets rest on
 * @param hours from the first visit to the last
 * @param driftDegree 1 or 2
 * @param driftPpmPerHour mean rate over that time
 * @param driftUncertainty one standard uncertainty of it, ppm/h
 * @param scatterPpm standard deviation of a visit
 * @param degreesOfFreedom of the scatter
 */
public record ProbeOffsetCheck(
    List<Offset> offsets,
    int visits,
    double hours,
    int driftDegree,
    double driftPpmPerHour,
    double driftUncertainty,
    double scatterPpm,
    int degreesOfFreedom) {

  /** Fewer leave the scatter too uncertain to undercut what the array states for a reading. */
  private static final int ENOUGH_FREEDOM = 6;

  private static final double LEAST_REDUNDANCY = 1e-6;

  public ProbeOffsetCheck {
    offsets = List.copyOf(offsets);
  }

  /**
   * A value at the common place.
   *
   * @param hours since any start
   * @param ppm of any reference, the same for all, the probe's stated offset not taken off
   */
  public record Sample(int probe, double hours, double ppm) {}

  /**
   * One probe.
   *
   * @param visits of this probe
   * @param statedPpm what the array states now
   * @param ppm reading − truth
   * @param uncertaintyPpm one standard uncertainty, against the mean of all probes
   */
  public record Offset(int probe, int visits, double statedPpm, double ppm, double uncertaintyPpm) {

    /** Whether the statement is off by more than chance explains, 99.7 %. */
    public boolean isNews() {
      return Math.abs(ppm - statedPpm) > 3 * uncertaintyPpm;
    }
  }

  /**
   * Finds the offsets.
   *
   * @param file for messages
   * @param samples in the order of taking
   * @throws BadInput if a probe was not brought there, or none a second time
   */
  public static ProbeOffsetCheck of(String file, List<Sample> samples, ProbeArray array) {
    return new Finder(file, visits(samples), array).check();
  }

  private static List<List<Sample>> visits(List<Sample> samples) {
    List<List<Sample>> visits = new ArrayList<>();
    for (Sample s : samples) {
      List<Sample> last = visits.isEmpty() ? List.of() : visits.get(visits.size() - 1);
      if (last.isEmpty() || last.get(0).probe() != s.probe()) {
        last = new ArrayList<>();
        visits.add(last);
      }
      last.add(s);
    }
    return visits;
  }

  /** The least squares, with a drift of either degree. */
  private static final class Finder {
    private final List<Probe> probes;
    private final int[] probe;
    private final double[] ppm;
    private final double[] time; // −1..1
    private final double hours;
    private final int[] count;
    private final double stated;

    Finder(String file, List<List<Sample>> visits, ProbeArray array) {
      probes = array.probes();
      Double reading = array.uncertainty().readingPpm();
      stated = reading == null ? 0 : reading;
      int n = visits.size();
      probe = new int[n];
      ppm = new double[n];
      time = new double[n];
      count = new int[probes.size()];
      for (int i = 0; i < n; i++) {
        int id = visits.get(i).get(0).probe();
        probe[i] = indexOf(file, id, array.name());
        ppm[i] = visits.get(i).stream().mapToDouble(Sample::ppm).average().orElse(0);
        time[i] = visits.get(i).stream().mapToDouble(Sample::hours).average().orElse(0);
        count[probe[i]]++;
      }
      hours = n == 0 ? 0 : time[n - 1] - time[0];
      double start = n == 0 ? 0 : time[0];
      for (int i = 0; i < n; i++) {
        time[i] = hours > 0 ? 2 * (time[i] - start) / hours - 1 : 0;
      }
      requireEveryProbe(file, n);
    }

    private int indexOf(String file, int id, String array) {
      for (int k = 0; k < probes.size(); k++) {
        if (probes.get(k).id() == id) {
          return k;
        }
      }
      throw new BadInput(
          "%s: found probe %d, expected one of the array \"%s\" in the magnet file"
              .formatted(file, id, array));
    }

    private void requireEveryProbe(String file, int visits) {
      for (int k = 0; k < count.length; k++) {
        if (count[k] == 0) {
          throw new BadInput(
              "%s: found no reading of probe %d, expected every probe of the array at the common place"
                  .formatted(file, probes.get(k).id()));
        }
      }
      if (visits <= probes.size()) {
        throw new BadInput(
            file
                + ": found each probe once, expected one of them again at the end: without that the drift between visits passes for offsets");
      }
    }

    ProbeOffsetCheck check() {
      Fit line = new Fit(1);
      if (line.drift() < 1) {
        throw new IllegalStateException("visits in turn leave the drift open");
      }
      Fit parabola = new Fit(2);
      boolean bent =
          parabola.drift() == 2 && parabola.freedom() >= 2 && parabola.press() < line.press();
      return (bent ? parabola : line).result();
    }

    private final class Fit {
      private final OrthonormalColumns columns;
      private final double[] residual = ppm.clone();
      private final double[] coefficients;

      Fit(int degree) {
        int n = probes.size();
        columns = new OrthonormalColumns(ppm.length, n + degree);
        for (int k = 0; k < n; k++) {
          double[] own = new double[ppm.length];
          for (int i = 0; i < own.length; i++) {
            own[i] = probe[i] == k ? 1 : 0;
          }
          columns.append(own, 1e-9);
        }
        for (int d = 1; d <= degree; d++) {
          double[] power = new double[ppm.length];
          for (int i = 0; i < power.length; i++) {
            power[i] = Math.pow(time[i], d);
          }
          columns.append(power, 1e-6);
        }
        coefficients = columns.coordinates(ppm);
        for (int j = 0; j < columns.count(); j++) {
          columns.subtract(j, coefficients[j], residual);
        }
        columns.solveUpper(coefficients);
      }

      int drift() {
        return columns.count() - probes.size();
      }

      int freedom() {
        return ppm.length - columns.count();
      }

      /** Mean squared leave-one-out error of the visits that others can check. */
      double press() {
        double sum = 0;
        int checked = 0;
        for (int i = 0; i < ppm.length; i++) {
          double redundancy = 1 - columns.leverage(i);
          if (count[probe[i]] > 1) {
            sum += Math.pow(residual[i] / Math.max(LEAST_REDUNDANCY, redundancy), 2);
            checked++;
          }
        }
        return sum / Math.max(1, checked);
      }

      private double scatter() {
        double sum = 0;
        for (double r : residual) {
          sum += r * r;
        }
        double own = freedom() > 0 ? Math.sqrt(sum / freedom()) : stated;
        return freedom() < ENOUGH_FREEDOM ? Math.max(own, stated) : own;
      }

      ProbeOffsetCheck result() {
        int n = probes.size();
        double mean = 0;
        double statedMean = 0;
        for (int k = 0; k < n; k++) {
          mean += coefficients[k] / n;
          statedMean += probes.get(k).offsetPpm() / n;
        }
        double[] contrast = new double[columns.count()];
        List<Offset> offsets = new ArrayList<>();
        for (int k = 0; k < n; k++) {
          java.util.Arrays.fill(contrast, 0, n, -1.0 / n);
          contrast[k] += 1;
          offsets.add(
              new Offset(
                  probes.get(k).id(),
                  count[k],
                  probes.get(k).offsetPpm(),
                  coefficients[k] - mean + statedMean,
                  uncertainty(contrast)));
        }
        double[] rate = new double[columns.count()];
        rate[n] = 2 / hours; // the parabola's own part has no mean slope over −1..1
        return new ProbeOffsetCheck(
            offsets,
            ppm.length,
            hours,
            drift(),
            coefficients[n] * rate[n],
            uncertainty(rate),
            scatter(),
            freedom());
      }

      /** Standard uncertainty of a linear function of the coefficients. */
      private double uncertainty(double[] of) {
        int size = columns.count();
        double[] inverse = columns.inverseUpper(size);
        double square = 0;
        for (int j = 0; j < size; j++) {
          double along = 0;
          for (int i = 0; i <= j; i++) {
            along += of[i] * inverse[i * size + j];
          }
          square += along * along;
        }
        return scatter() * Math.sqrt(square);
      }
    }
  }
}
