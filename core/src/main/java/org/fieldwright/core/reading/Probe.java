package org.fieldwright.core.reading;

/**
 * One NMR probe of a turning array, in the array's half-plane.
 *
 * @param id integer name, unique within the array
 * @param polar polar angle from +z, rad, 0..2π; above π it stands in the other half of the plane
 * @param radius distance from the centre, m
 * @param offsetPpm what the probe reads too high, ppm; subtracted from its readings
 */
public record Probe(int id, double polar, double radius, double offsetPpm) {}
