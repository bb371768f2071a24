package org.fieldwright.core.homogeneity;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * The mean square of a field about its mean, over a volume or its surface, as a quadratic form cᵀWc
 * of the coefficients: what is needed to say how noise in them enters an RMS. W falls into blocks;
 * on a sphere it is diagonal.
 */
public final class MeanSquareForm {
  /** The part of W that couples these terms, row-major. */
  private static final class Block {
    final int[] indices;
    final double[] w;

    Block(int[] indices, double[] w) {
      this.indices = indices;
      this.w = w;
    }
  }

  private final int size;
  private final List<Block> blocks;

  private MeanSquareForm(int size, List<Block> blocks) {
    this.size = size;
    this.blocks = blocks;
  }

  /**
   * The form of a volume and a measure.
   *
   * @param measure {@link Limit.Measure#VOLUME_RMS} or {@link Limit.Measure#SURFACE_RMS}
   * @param like a field of the degree and reference radius that count
   */
  public static MeanSquareForm of(Volume volume, Limit.Measure measure, Expansion like) {
    int size = Term.count(like.degree());
    List<Block> blocks = new ArrayList<>();
    if (volume instanceof Volume.Sphere s) {
      for (int k = 1; k < size; k++) {
        double ratio = s.radius() / like.referenceRadius();
        double w = Rms.sphereWeight(Term.at(k).n(), ratio, measure);
        blocks.add(new Block(new int[] {k}, new double[] {w}));
      }
    } else {
      OctantRule rule = OctantRule.of(volume, measure, like.degree());
      SolidHarmonics basis = new SolidHarmonics(like.degree(), like.referenceRadius());
      for (int c = 0; c < OctantRule.CLASSES; c++) {
        int group = c;
        int[] indices =
            IntStream.range(1, size).filter(k -> OctantRule.classOf(k) == group).toArray();
        double[] w = new double[indices.length * indices.length];
        rule.addProducts(basis, indices, w);
        blocks.add(new Block(indices, w));
      }
    }
    return new MeanSquareForm(size, blocks);
  }

  /** Wc. */
  public double[] times(double[] c) {
    double[] result = new double[size];
    for (Block block : blocks) {
      int[] at = block.indices;
      for (int a = 0; a < at.length; a++) {
        double sum = 0;
        for (int b = 0; b < at.length; b++) {
          sum += block.w[a * at.length + b] * c[at[b]];
        }
        result[at[a]] = sum;
      }
    }
    return result;
  }

  /** tr(WC): what noise of this covariance adds to the mean square, on average. */
  double noiseMeanSquare(Covariance covariance) {
    double sum = 0;
    for (Block block : blocks) {
      int[] at = block.indices;
      for (int a = 0; a < at.length; a++) {
        for (int b = 0; b < at.length; b++) {
          sum += block.w[a * at.length + b] * covariance.at(at[b], at[a]);
        }
      }
    }
    return sum;
  }

  /** 2 tr(WCWC): the variance of the noise's own mean square (normal noise). */
  double noiseMeanSquareVariance(Covariance covariance) {
    double[] product = new double[size * size]; // WC
    for (Block block : blocks) {
      int[] at = block.indices;
      for (int a = 0; a < at.length; a++) {
        for (int b = 0; b < at.length; b++) {
          double w = block.w[a * at.length + b];
          for (int j = 0; j < size; j++) {
            product[at[a] * size + j] += w * covariance.at(at[b], j);
          }
        }
      }
    }
    double trace = 0;
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        trace += product[i * size + j] * product[j * size + i];
      }
    }
    return 2 * trace;
  }
}
