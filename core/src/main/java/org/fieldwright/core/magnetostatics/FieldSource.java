package org.fieldwright.core.magnetostatics;

import org.fieldwright.core.geometry.Vec3;

/** Something that makes a static field in the air around it. */
public interface FieldSource {

  /**
   * The flux density, T, at a point outside the source.
   *
   * @param p metres, in the bore frame
   */
  Vec3 at(Vec3 p);

  /** The component of the field along a unit vector, T. */
  default double along(Vec3 p, Vec3 axis) {
    return at(p).dot(axis);
  }
}
