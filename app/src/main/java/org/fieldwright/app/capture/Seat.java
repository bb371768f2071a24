package org.fieldwright.app.capture;

import java.io.Closeable;
import java.io.IOException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.IntConsumer;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.adapters.instrument.ProbeAnswer;
import org.fieldwright.adapters.instrument.ProbeReader;
import org.fieldwright.adapters.instrument.ReaderProfile;
import org.fieldwright.adapters.instrument.ReaderProfileFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.MagneticCentre;
import org.fieldwright.core.harmonic.Seating;
import org.fieldwright.core.harmonic.Seating.Shown;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Vetting;
import org.fieldwright.core.reading.VettingOptions;
import org.jspecify.annotations.Nullable;

/**
 * Help to bring the array's centre to where it should be: reads the probes, again and again, and
 * says how far it is and in which direction. For one thread.
 */
public final class Seat implements Closeable {
  /** Taken where the magnet file does not state what a reading is worth. */
  private static final double READING_PPM = 0.1;

  private static final double POSITION = 0.1e-3; // m
  private static final double ANGLE = Math.toRadians(0.1);

  private final SeatRequest request;
  private final Magnet magnet;
  private final FieldModel model;
  private final Seating.Target target;
  private final ProbeReader reader;
  private final FollowingWindow window;
  private final List<Double> anglesDeg = new ArrayList<>();
  private final List<List<Shown>> readings = new ArrayList<>();
  private final List<List<Integer>> readers = new ArrayList<>(); // probes, by reading

  private Seat(
      SeatRequest request,
      Magnet magnet,
      FieldModel model,
      ProbeReader reader,
      Consumer<String> notes) {
    this.request = request;
    this.magnet = magnet;
    this.model = model;
    this.reader = reader;
    target = request.asBefore() ? Seating.Target.asBefore(model) : centre(request, model);
    window =
        new FollowingWindow(
            reader, magnet.array(), ids(magnet.array()), request.expectedPpm(), notes);
  }

  private static List<Integer> ids(ProbeArray array) {
    return array.probes().stream().map(Probe::id).toList();
  }

  private static Seating.Target centre(SeatRequest request, FieldModel model) {
    MagneticCentre centre =
        MagneticCentre.of(model)
            .orElseThrow(
                () ->
                    new BadInput(
                        request.earlier()
                            + ": found no magnetic centre within what was read, expected a field"
                            + " that is stationary somewhere; --to as-before seats the array where"
                            + " it was in that survey"));
    return Seating.Target.of(centre, model);
  }

  /**
   * Reads the earlier survey and finds the reader and the field.
   *
   * @param notes hears of troubles overcome and of lapsed calibrations
   */
  public static Seat open(SeatRequest request, Clock clock, Consumer<String> notes)
      throws IOException {
    Magnet magnet = Equipment.magnet(request.magnetFile());
    ReaderProfile profile = ReaderProfileFile.read(request.instrumentFile());
    FieldModel model =
        Vetting.vet(
                SurveyFile.read(request.earlier(), magnet), magnet.array(), VettingOptions.DEFAULT)
            .model();
    ProbeReader reader = ProbeReader.open(profile, magnet.array().gammaMHzPerT(), notes);
    try {
      Equipment.warnings(Equipment.remarks(magnet, profile, reader.identity()), clock.instant())
          .forEach(notes);
      Seat seat = new Seat(request, magnet, model, reader, notes);
      seat.window.find();
      return seat;
    } catch (IOException | RuntimeException e) {
      reader.close();
      throw e;
    }
  }

  /** The array was moved: what was read before counts no more. */
  public void moved() {
    anglesDeg.clear();
    readings.clear();
    readers.clear();
  }

  /**
   * Reads the array, its centre being where it was since it was last moved.
   *
   * @param angleDeg where the array stands; an angle read before is read anew
   * @return what all angles read since together say; null if too few probes lock
   */
  public @Nullable SeatAdvice read(double angleDeg) throws IOException {
    return read(angleDeg, probes -> {});
  }

  /**
   * The same.
   *
   * @param afterEach hears how many probes are read so far
   */
  @Nullable SeatAdvice read(double angleDeg, IntConsumer afterEach) throws IOException {
    reader.atAngle(angleDeg);
    int at = anglesDeg.indexOf(angleDeg);
    if (at < 0) {
      at = anglesDeg.size();
      anglesDeg.add(angleDeg);
      readings.add(List.of());
      readers.add(List.of());
    }
    List<ProbeAnswer> answers = new ArrayList<>();
    reader.read(
        ids(magnet.array()),
        some -> {
          answers.addAll(some);
          afterEach.accept(answers.size());
        });
    List<Shown> shown = new ArrayList<>();
    List<Integer> by = new ArrayList<>();
    List<@Nullable Double> fields = new ArrayList<>();
    for (ProbeAnswer answer : answers) {
      Probe probe = magnet.array().probe(answer.probe());
      Double field = answer.field();
      fields.add(field);
      if (field != null && probe != null) {
        Vec3 place = Vec3.spherical(probe.radius(), probe.polar(), Math.toRadians(angleDeg));
        by.add(probe.id());
        shown.add(new Shown(place, at, field * (1 - 1e-6 * probe.offsetPpm())));
      }
    }
    window.after(fields);
    readings.set(at, shown);
    readers.set(at, by);
    Seating seating =
        Seating.of(
            model,
            target,
            readings.stream().flatMap(List::stream).toList(),
            anglesDeg.stream().mapToDouble(Math::toRadians).toArray(),
            errors());
    return seating == null
        ? null
        : new SeatAdvice(seating, request.tolerance(), magnet, List.copyOf(anglesDeg), probes());
  }

  /** Who took each reading. */
  private List<Integer> probes() {
    return readers.stream().flatMap(List::stream).toList();
  }

  private Seating.Errors errors() {
    ProbeArray.Uncertainty u = magnet.array().uncertainty();
    double reading = u.readingPpm() == null ? READING_PPM : u.readingPpm();
    double offset = u.normalisationPpm() == null ? READING_PPM : u.normalisationPpm();
    return new Seating.Errors(
        Math.hypot(reading, offset),
        u.position() == null ? POSITION : u.position(),
        u.angle() == null ? ANGLE : u.angle());
  }

  /** How many probes the array has. */
  int probeCount() {
    return magnet.array().probes().size();
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
