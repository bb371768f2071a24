package org.fieldwright.core.correction;

import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * A place in a tray that takes pieces.
 *
 * @param tray counts from 1
 * @param number counts from 1, in the order of the file's z
 * @param centre of the pocket filled to capacity, m
 * @param capacity what this pocket holds in the measure of the whole set: stack height in m, or a
 *     count of pieces where the set counts pieces; null where the whole set's capacity applies. Ask
 *     {@link IronSystem#capacityOf}
 */
public record Pocket(int tray, int number, Vec3 centre, @Nullable Double capacity) {}
