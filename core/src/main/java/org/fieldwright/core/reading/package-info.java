/** What was measured: probes, readings, surveys, and which readings to trust with drift removed. */
@NullMarked
package org.fieldwright.core.reading;

import org.jspecify.annotations.NullMarked;
