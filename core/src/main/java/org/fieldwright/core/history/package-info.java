/** A magnet's life: what its surveys and logs say over the years, and what changed when. */
@NullMarked
package org.fieldwright.core.history;

import org.jspecify.annotations.NullMarked;
