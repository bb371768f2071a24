/** A survey taken live: asked for angle by angle, kept at once, vetted while it grows. */
@NullMarked
package org.fieldwright.app.capture;

import org.jspecify.annotations.NullMarked;
