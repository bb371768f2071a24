/** Evidence in one file: an archive that can be written in one way only, and its signature. */
@NullMarked
package org.fieldwright.adapters.files.bundle;

import org.jspecify.annotations.NullMarked;
