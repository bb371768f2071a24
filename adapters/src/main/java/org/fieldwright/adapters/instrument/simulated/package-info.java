/** The simulated reader: it speaks lines over a socket, backed by a virtual magnet. */
@NullMarked
package org.fieldwright.adapters.instrument.simulated;

import org.jspecify.annotations.NullMarked;
