package org.fieldwright.core.correction;

/**
 * What one unit of each column of a {@link ShimProblem} does to the field: one piece put into or
 * taken out of a pocket, one step of a coil.
 */
interface ShimColumns {
  int count();

  /** ppm that one unit of the column adds at a point (m). */
  double ppmAt(int column, double x, double y, double z);
}
