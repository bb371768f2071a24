package org.fieldwright.core.correction;

import org.jspecify.annotations.Nullable;

/**
 * A kind of piece, saturated along the field; a permanent magnet that is loaded against it has a
 * negative polarisation.
 *
 * @param id as loading sheets name it
 * @param size block's sides, m; null for a point dipole of {@code volume}
 * @param volume m³
 * @param polarisation J = μ0·Ms at 20 °C, T
 * @param density kg/m³
 * @param stock how many there are besides those installed; null for any number
 * @param perKelvin relative change of the polarisation with temperature, 1/K
 */
public record PieceType(
    String id,
    @Nullable Size size,
    double volume,
    double polarisation,
    double density,
    @Nullable Integer stock,
    double perKelvin) {

  /** Iron's saturation polarisation at room temperature falls by about 0.01 % per kelvin. */
  public static final double IRON_PER_KELVIN = -1e-4;

  /** Iron, as many pieces as are needed. */
  public PieceType(
      String id, @Nullable Size size, double volume, double polarisation, double density) {
    this(id, size, volume, polarisation, density, null, IRON_PER_KELVIN);
  }

  /** Sides of a block: along the tray's circumference, along z, along the radius; m. */
  public record Size(double tangential, double axial, double radial) {}

  /** kg. */
  public double mass() {
    return volume * density;
  }

  /** The same with so many in stock. */
  public PieceType withStock(int count) {
    return new PieceType(id, size, volume, polarisation, density, count, perKelvin);
  }

  /** The same with some of the stock used up (or, negative, added to it). */
  PieceType without(int used) {
    return stock == null ? this : withStock(Math.max(0, stock - used));
  }
}
