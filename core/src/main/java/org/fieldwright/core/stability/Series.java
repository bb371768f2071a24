package org.fieldwright.core.stability;

/** Values in a row that need not lie in an array of their own. */
interface Series {
  int size();

  /** NaN where there is none. */
  double at(int i);

  /** Over an array; not copied. */
  static Series of(double[] values) {
    return new Series() {
      @Override
      public int size() {
        return values.length;
      }

      @Override
      public double at(int i) {
        return values[i];
      }
    };
  }
}
