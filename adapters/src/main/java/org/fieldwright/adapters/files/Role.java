package org.fieldwright.adapters.files;

import java.util.List;
import org.fieldwright.adapters.text.Unit;
import org.fieldwright.adapters.text.Unit.Quantity;
import org.jspecify.annotations.Nullable;

/** What a column can mean. */
enum Role {
  ANGLE("angle"),
  PROBE("probe"),
  X("x"),
  Y("y"),
  Z("z"),
  RHO("rho"),
  R("r"),
  AZIMUTH("azimuth"),
  POLAR("polar"),
  FREQUENCY("frequency"),
  FIELD("field"),
  SD("sd"),
  AVERAGES("averages"),
  LOCKED("locked"),
  TIME("time"),
  TURN("turn"),
  CURRENT("current"),
  TEMPERATURE("temperature"),
  PRESSURE("pressure");

  private final String base;

  Role(String base) {
    this.base = base;
  }

  /** The name of the column, before the unit if it has one. */
  String base() {
    return base;
  }

  /** What the column's unit can measure; empty for columns without a unit. */
  List<Quantity> quantities() {
    return switch (this) {
      case ANGLE, AZIMUTH, POLAR -> List.of(Quantity.ANGLE);
      case X, Y, Z, RHO, R -> List.of(Quantity.LENGTH);
      case FREQUENCY -> List.of(Quantity.FREQUENCY);
      case FIELD -> List.of(Quantity.FIELD);
      case SD -> List.of(Quantity.FREQUENCY, Quantity.FIELD);
      case CURRENT -> List.of(Quantity.CURRENT);
      case TEMPERATURE -> List.of(Quantity.TEMPERATURE);
      case PRESSURE -> List.of(Quantity.PRESSURE);
      case PROBE, AVERAGES, LOCKED, TIME, TURN -> List.of();
    };
  }

  static @Nullable Role ofBase(String base) {
    for (Role role : values()) {
      if (role.base.equals(base)) {
        return role;
      }
    }
    return null;
  }

  /** The unit of this spelling, or null. */
  @Nullable Unit unit(String spelling) {
    for (Quantity quantity : quantities()) {
      Unit unit = quantity.unit(spelling);
      if (unit != null) {
        return unit;
      }
    }
    return null;
  }

  /** Every name a column of this meaning can have. */
  List<String> names() {
    if (quantities().isEmpty()) {
      return List.of(base);
    }
    return quantities().stream()
        .flatMap(q -> q.units().stream())
        .map(u -> base + "_" + u.symbol())
        .toList();
  }
}
