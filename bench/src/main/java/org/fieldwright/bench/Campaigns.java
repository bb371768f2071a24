package org.fieldwright.bench;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.simulation.LoadedIron;
import org.fieldwright.core.simulation.ShimCampaign;
import org.fieldwright.core.simulation.ShimCampaign.Practice;

/**
 * Simulated campaigns on magnets of the yardstick's family: rounds until a limit is met. {@code
 * bench/campaigns.sh} runs them and counts.
 */
public final class Campaigns {
  private static final double NOISE_PPM = 0.02;
  private static final double POSITION = 0.5e-3;

  private Campaigns() {}

  /**
   * Prints a line per campaign: what it was, bare field, set of pieces, and the true peak-to-peak
   * before the first round and after each, ppm.
   *
   * @param args first and last bare field, first and last set of pieces for each, and what to do
   *     with every one: {@code practice:strength wrong by at most, per cent:limit, ppm:most rounds}
   */
  public static void main(String[] args) {
    List<Task> tasks = Arrays.stream(args).skip(4).map(Task::of).toList();
    Map<String, Loading> first = new HashMap<>(); // the first plan knows nothing of the pieces
    for (int set = Integer.parseInt(args[2]); set <= Integer.parseInt(args[3]); set++) {
      for (int bare = Integer.parseInt(args[0]); bare <= Integer.parseInt(args[1]); bare++) {
        for (Task task : tasks) {
          ShimCampaign campaign = campaign(bare, set, task.wrong(), task.limit());
          boolean plain = task.practice() == Practice.PLAIN;
          Loading planned =
              first.computeIfAbsent(
                  bare + (plain ? " rounded" : " planned"),
                  b -> campaign.first(task.practice(), new FirstWholePlan()));
          StringBuilder line = new StringBuilder(task + " " + bare + " " + set);
          campaign
              .run(task.practice(), planned, task.mostRounds(), FirstWholePlan::new)
              .forEach(w -> line.append(String.format(Locale.ROOT, " %.2f", w)));
          System.out.println(line);
        }
      }
    }
  }

  private record Task(Practice practice, double wrong, double limit, int mostRounds) {
    static Task of(String text) {
      String[] parts = text.split(":", -1);
      return new Task(
          Practice.valueOf(parts[0].toUpperCase(Locale.ROOT)),
          Double.parseDouble(parts[1]) / 100,
          Double.parseDouble(parts[2]),
          Integer.parseInt(parts[3]));
    }

    @Override
    public String toString() {
      return String.format(Locale.ROOT, "%s:%.0f%%:%.0f", practice, 100 * wrong, limit);
    }
  }

  /** The yardstick with harmonics of other signs and sizes, and pieces of its own. */
  private static ShimCampaign campaign(int bare, int set, double wrong, double limit) {
    BodyMagnets magnet =
        BodyMagnets.P1.withPhase(new SplittableRandom(bare).nextDouble(0, 2 * Math.PI));
    long own = 1000L * bare + set;
    SplittableRandom random = new SplittableRandom(own);
    double strength = 1 + wrong * random.nextDouble(-1, 1);
    double mass = random.nextDouble(0.01, 0.02);
    // A uniform error of at most w has a standard deviation of w/√3.
    Errors expected = new Errors(mass, 0, POSITION, wrong / Math.sqrt(3));
    IronSystem iron = magnet.iron().withErrors(expected);
    IronSystem real = iron.withErrors(new Errors(mass, 0, POSITION, 0));
    Volume sphere = new Volume.Sphere(magnet.radius());
    return new ShimCampaign(
        iron,
        new LoadedIron(real, Vec3.UNIT_Z, Map.of("plate", strength), own),
        magnet.bare().ppm(),
        magnet.centreField(),
        new Limit("sphere", Limit.Measure.PEAK_TO_PEAK, sphere, limit),
        NOISE_PPM,
        own);
  }

  /** Ends each search with its first whole plan, so that nothing depends on the clock. */
  private static final class FirstWholePlan implements Progress {
    private boolean rounded;

    @Override
    public void report(String stage, double fraction, double bestSoFar) {
      rounded |= stage.equals("rounding");
    }

    @Override
    public boolean shouldStop() {
      return rounded;
    }
  }
}
