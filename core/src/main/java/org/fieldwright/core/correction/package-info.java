/** What to load: pockets, pieces, coils, the relaxed bound and the search for whole pieces. */
@NullMarked
package org.fieldwright.core.correction;

import org.jspecify.annotations.NullMarked;
