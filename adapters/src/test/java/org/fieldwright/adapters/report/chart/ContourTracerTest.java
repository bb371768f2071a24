package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.assertj.core.data.Offset;
import org.assertj.core.data.Percentage;
import org.fieldwright.adapters.report.chart.ContourTracer.Corner;
import org.junit.jupiter.api.Test;

class ContourTracerTest {

  @Test
  void aDiscHasTheAreaOfADisc() {
    double[][] v = new double[101][101];
    for (int r = 0; r <= 100; r++) {
      for (int c = 0; c <= 100; c++) {
        v[r][c] = 900 - (r - 50) * (r - 50) - (c - 50) * (c - 50);
      }
    }
    List<List<Corner>> loops = new ContourTracer(v).outlines(0);
    assertThat(loops).hasSize(1);
    assertThat(area(loops)).isCloseTo(Math.PI * 900, Percentage.withPercentage(0.1));
  }

  /** A ring is an outline and a hole, wound against each other. */
  @Test
  void aHoleIsTakenOff() {
    double[][] v = new double[101][101];
    for (int r = 0; r <= 100; r++) {
      for (int c = 0; c <= 100; c++) {
        double d = Math.hypot(r - 50, c - 50);
        v[r][c] = 1 - Math.abs(d - 30) / 10;
      }
    }
    List<List<Corner>> loops = new ContourTracer(v).outlines(0);
    assertThat(loops).hasSize(2);
    assertThat(area(loops)).isCloseTo(Math.PI * (1600 - 400), Percentage.withPercentage(0.3));
  }

  @Test
  void outlinesCloseAlongTheBorder() {
    double[][] slope = {{0, 1, 2, 3}, {0, 1, 2, 3}, {0, 1, 2, 3}};
    assertThat(area(new ContourTracer(slope).outlines(1.5))).isCloseTo(3, Offset.offset(1e-12));
    assertThat(area(new ContourTracer(slope).outlines(-1))).isCloseTo(6, Offset.offset(1e-12));
    assertThat(new ContourTracer(slope).outlines(4)).isEmpty();
  }

  @Test
  void aSaddleJoinsWhatItsCentreJoins() {
    double[][] joined = {{1, -0.5}, {-0.5, 1}};
    double[][] parted = {{1, -3}, {-3, 1}};
    assertThat(new ContourTracer(joined).outlines(0)).hasSize(1);
    assertThat(new ContourTracer(parted).outlines(0)).hasSize(2);
  }

  /** Shoelace formula, holes negative. */
  private static double area(List<List<Corner>> loops) {
    double sum = 0;
    for (List<Corner> loop : loops) {
      for (int i = 0; i < loop.size(); i++) {
        Corner p = loop.get(i);
        Corner q = loop.get((i + 1) % loop.size());
        sum += p.column() * q.row() - q.column() * p.row();
      }
    }
    return Math.abs(sum) / 2;
  }
}
