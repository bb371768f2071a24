package org.fieldwright.core.correction;

/** Iron and coils side by side, the iron first. */
record JointColumns(IronColumns iron, CoilColumns coils) implements ShimColumns {
  @Override
  public int count() {
    return iron.count() + coils.count();
  }

  @Override
  public double ppmAt(int column, double x, double y, double z) {
    int pieces = iron.count();
    return column < pieces ? iron.ppmAt(column, x, y, z) : coils.ppmAt(column - pieces, x, y, z);
  }
}
