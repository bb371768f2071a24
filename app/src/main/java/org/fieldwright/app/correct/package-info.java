/** What to load: plans of iron for a magnet whose field is known. */
@NullMarked
package org.fieldwright.app.correct;

import org.jspecify.annotations.NullMarked;
