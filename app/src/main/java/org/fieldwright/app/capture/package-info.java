/**
 * At the magnet, live: a survey asked for angle by angle, a log recorded against time, the array
 * seated. What is read is kept at once.
 */
@NullMarked
package org.fieldwright.app.capture;

import org.jspecify.annotations.NullMarked;
