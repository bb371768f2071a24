/** Readers by description: a profile says how to talk to one, over a socket or a serial port. */
@NullMarked
package org.fieldwright.adapters.instrument;

import org.jspecify.annotations.NullMarked;
