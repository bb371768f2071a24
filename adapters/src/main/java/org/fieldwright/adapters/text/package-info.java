/** Plain text as people write it: encoding, numbers, times, names. */
@NullMarked
package org.fieldwright.adapters.text;

import org.jspecify.annotations.NullMarked;
