package org.fieldwright.adapters.files;

import java.util.List;

/** How the place of a reading is given. */
enum Places {
  TURNING,
  CARTESIAN,
  CYLINDRICAL,
  SPHERICAL;

  List<Role> roles() {
    return switch (this) {
      case TURNING -> List.of(Role.ANGLE, Role.PROBE);
      case CARTESIAN -> List.of(Role.X, Role.Y, Role.Z);
      case CYLINDRICAL -> List.of(Role.RHO, Role.AZIMUTH, Role.Z);
      case SPHERICAL -> List.of(Role.R, Role.POLAR, Role.AZIMUTH);
    };
  }
}
