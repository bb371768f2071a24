/** Virtual magnets on disk: the files that a visit would have brought home, and the truth. */
@NullMarked
package org.fieldwright.app.simulate;

import org.jspecify.annotations.NullMarked;
