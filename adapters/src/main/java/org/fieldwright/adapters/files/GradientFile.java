package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.DoubleSummaryStatistics;
import java.util.List;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.FieldGradient;
import org.fieldwright.core.correction.Pocket;
import org.jspecify.annotations.Nullable;

/**
 * {@code iron.gradient}: how the main field's strength changes along the trays' way, {@code
 * z_mm,gradient_T_per_m} and perhaps {@code radial_gradient_T_per_m}; headers are read in any case.
 */
final class GradientFile {
  private static final long MOST_BYTES = 4L << 20;
  private static final double MM = 1e-3;

  private GradientFile() {}

  /**
   * Reads a profile.
   *
   * @param pockets which it must cover
   */
  static FieldGradient read(Path path, List<Pocket> pockets) {
    List<FieldGradient.Place> places = new ArrayList<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns =
          Columns.of(
              cells, List.of("z_mm", "gradient_t_per_m"), List.of("radial_gradient_t_per_m"));
      while (cells.advance()) {
        double z = cells.requireNumber(columns.at("z_mm"), "a place in mm") * MM;
        if (!places.isEmpty() && !(z > places.get(places.size() - 1).z())) {
          throw cells.complain(columns.at("z_mm"), "places in ascending order");
        }
        double axial = cells.requireNumber(columns.at("gradient_t_per_m"), "T/m");
        places.add(new FieldGradient.Place(z, axial, radial(cells, columns)));
      }
    }
    DoubleSummaryStatistics z =
        pockets.stream().mapToDouble(p -> p.centre().z()).summaryStatistics();
    if (places.size() < 2
        || places.get(0).z() > z.getMin()
        || places.get(places.size() - 1).z() < z.getMax()) {
      throw new BadInput(
          "%s: found %s, expected at least two places that reach over all pockets, from z_mm = %.1f to %.1f and as far outside as trays are moved in the field"
              .formatted(path, found(places), z.getMin() / MM, z.getMax() / MM));
    }
    return new FieldGradient(places);
  }

  private static String found(List<FieldGradient.Place> places) {
    return places.size() < 2
        ? places.isEmpty() ? "no place" : "one place"
        : "places from z_mm = %.1f to %.1f"
            .formatted(places.get(0).z() / MM, places.get(places.size() - 1).z() / MM);
  }

  private static @Nullable Double radial(Cells cells, Columns columns) {
    return columns.has("radial_gradient_t_per_m")
        ? (Double) cells.requireNumber(columns.at("radial_gradient_t_per_m"), "T/m")
        : null;
  }
}
