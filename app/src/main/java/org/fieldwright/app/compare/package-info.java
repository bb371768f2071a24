/** What a round of loading changed, against what it should have. */
@NullMarked
package org.fieldwright.app.compare;

import org.jspecify.annotations.NullMarked;
