/** A file that only grows, and whose every record is on the disk before anyone is told so. */
@NullMarked
package org.fieldwright.adapters.journal;

import org.jspecify.annotations.NullMarked;
