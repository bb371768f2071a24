/** What each probe of the array reads too high, and the magnet file brought up to date with it. */
@NullMarked
package org.fieldwright.app.offsets;

import org.jspecify.annotations.NullMarked;
