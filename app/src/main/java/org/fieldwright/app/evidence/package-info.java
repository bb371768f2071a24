/** What outlives a visit: the report, and the bundle that proves it. */
@NullMarked
package org.fieldwright.app.evidence;

import org.jspecify.annotations.NullMarked;
