package org.fieldwright.core.correction;

import org.jspecify.annotations.Nullable;

/**
 * A kind of piece, saturated along the field.
 *
 * @param id as loading sheets name it
 * @param size block's sides, m; null for a point dipole of {@code volume}
 * @param volume m³
 * @param polarisation J = μ0·Ms, T
 * @param density kg/m³
 */
public record PieceType(
    String id, @Nullable Size size, double volume, double polarisation, double density) {

  /** Sides of a block: along the tray's circumference, along z, along the radius; m. */
  public record Size(double tangential, double axial, double radial) {}

  /** kg. */
  public double mass() {
    return volume * density;
  }
}
