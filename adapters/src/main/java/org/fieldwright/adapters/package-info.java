/** The world: files, instruments, store, report. Each package knows core, none knows another. */
@NullMarked
package org.fieldwright.adapters;

import org.jspecify.annotations.NullMarked;
