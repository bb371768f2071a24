package org.fieldwright.core.stability;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;

/**
 * Values that come one by one, kept in pieces: growing copies nothing, and making one array of them
 * lets go of each piece once it is copied.
 */
final class Column {
  private static final int FIRST_PIECE = 1024;

  /** 256 KB: below what the collector of garbage keeps apart as large, in whole regions. */
  private static final int LARGEST_PIECE = 1 << 15;

  private final Deque<double[]> full = new ArrayDeque<>();
  private double[] piece = new double[FIRST_PIECE];
  private int inPiece;
  private int size;

  void add(double value) {
    if (inPiece == piece.length) {
      full.add(piece);
      piece = new double[Math.min(LARGEST_PIECE, 2 * piece.length)];
      inPiece = 0;
    }
    piece[inPiece++] = value;
    size++;
  }

  /** All values; the column is empty afterwards. */
  double[] take() {
    double[] all = new double[size];
    int at = 0;
    while (!full.isEmpty()) {
      double[] next = full.remove();
      System.arraycopy(next, 0, all, at, next.length);
      at += next.length;
    }
    System.arraycopy(piece, 0, all, at, inPiece);
    piece = new double[0];
    inPiece = 0;
    size = 0;
    return all;
  }

  /** All values, which must be whole numbers; the column is empty afterwards. */
  int[] takeWhole() {
    return Arrays.stream(take()).mapToInt(v -> (int) v).toArray();
  }
}
