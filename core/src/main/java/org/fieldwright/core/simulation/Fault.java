package org.fieldwright.core.simulation;

/** Something that goes wrong during a survey, put there on purpose. */
public sealed interface Fault {

  /** The probe found no line at the first visit of this angle. */
  record NoLock(int probe, double angleDeg) implements Fault {}

  /** The probe locked to something else, this much too high, at the first visit of this angle. */
  record Outlier(int probe, double angleDeg, double ppm) implements Fault {}

  /** The reader showed this frequency at the first visit of this angle, whatever the field. */
  record WrongFrequency(int probe, double angleDeg, double frequencyMHz) implements Fault {}

  /** The probe reads high by this much during the whole survey. */
  record ProbeOffset(int probe, double ppm) implements Fault {}

  /** At its first visit of this angle the array stood at angle + error. */
  record WrongAngle(double angleDeg, double errorDeg) implements Fault {}
}
