package org.fieldwright.core.harmonic;

/** What a least-squares fit leaves of the readings, row by row. */
public interface FitResiduals {
  int rows();

  boolean isSetAside(int row);

  /** Weighted residual of a row, 0 where it is set aside. */
  double residual(int row);

  /** 1 − leverage: the share of a row's error that shows in its residual; 0 where set aside. */
  double redundancy(int row);

  /** Rows not set aside less unknowns, nuisances counted. */
  int degreesOfFreedom();

  /** Weighted Σ r². */
  double residualSumOfSquares();

  /** How many rows are set aside. */
  default int setAsideCount() {
    int count = 0;
    for (int row = 0; row < rows(); row++) {
      count += isSetAside(row) ? 1 : 0;
    }
    return count;
  }
}
