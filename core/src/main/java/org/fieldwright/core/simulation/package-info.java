/** Virtual magnets built of loops and dipoles, and the surveys an array would take of them. */
@NullMarked
package org.fieldwright.core.simulation;

import org.jspecify.annotations.NullMarked;
