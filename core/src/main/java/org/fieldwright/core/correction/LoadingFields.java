package org.fieldwright.core.correction;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PlanForecast.Change;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.DipoleSeries;

/**
 * What one piece adds to the field, in each pocket and where it lies if its tray is turned end for
 * end, as coefficients (ppm); computed when first asked for. The piece lies at the pocket's centre.
 */
final class LoadingFields {
  private final IronSystem iron;
  private final PlanForecast forecast;
  private final Vec3 fieldAxis;
  private final double ppmPerTesla;
  private final int degree;
  private final double radius;
  private final Map<Place, double[]> here = new HashMap<>();
  private final Map<Place, double[]> turned = new HashMap<>();
  private final Map<Integer, TrayTurn> turns = new HashMap<>();
  private final Map<String, PieceType> pieces = new HashMap<>();
  private final Map<IronSystem.PocketId, Pocket> pockets = new HashMap<>();

  LoadingFields(IronSystem iron, Vec3 fieldAxis, double centreField, int degree, double radius) {
    this.iron = iron;
    this.forecast = new PlanForecast(iron, fieldAxis);
    this.fieldAxis = fieldAxis;
    this.ppmPerTesla = 1e6 / centreField;
    this.degree = degree;
    this.radius = radius;
    iron.pieces().forEach(p -> pieces.put(p.id(), p));
    iron.pockets().forEach(p -> pockets.put(new IronSystem.PocketId(p.tray(), p.number()), p));
  }

  List<Pocket> pockets() {
    return iron.pockets();
  }

  /** The piece where it belongs. */
  double[] of(Place place) {
    return here.computeIfAbsent(place, p -> one(p, pocket(p).centre()));
  }

  /** The piece where it comes to lie if its tray goes in the other end first. */
  double[] reversed(Place place) {
    TrayTurn turn = turns.computeIfAbsent(place.tray(), t -> TrayTurn.of(iron.pockets(), t));
    return turned.computeIfAbsent(place, p -> one(p, turn.apply(pocket(p).centre())));
  }

  /** Of a kind that the magnet file describes. */
  PieceType piece(Place place) {
    PieceType piece = pieces.get(place.piece());
    if (piece == null) {
      throw new IllegalArgumentException("no such piece: " + place);
    }
    return piece;
  }

  private Pocket pocket(Place place) {
    Pocket pocket = pockets.get(new IronSystem.PocketId(place.tray(), place.pocket()));
    if (pocket == null) {
      throw new IllegalArgumentException("no such pocket: " + place);
    }
    return pocket;
  }

  private double[] one(Place place, Vec3 centre) {
    DipoleSeries series = new DipoleSeries(degree, radius);
    Pocket pocket = new Pocket(place.tray(), place.pocket(), centre, null);
    forecast.dipoles(new Change(pocket, piece(place), 1, 0), 1, Vec3.ZERO).forEach(series::add);
    return series.along(fieldAxis).times(ppmPerTesla).coefficients();
  }
}
