/** What a survey will be able to see, before it is taken. */
@NullMarked
package org.fieldwright.app.sampling;

import org.jspecify.annotations.NullMarked;
