/** From a field log to what it says of the magnet's stability, judged against its drift limits. */
@NullMarked
package org.fieldwright.app.watch;

import org.jspecify.annotations.NullMarked;
