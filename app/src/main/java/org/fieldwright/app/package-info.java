/** Application services, one per thing a person asks for. */
@NullMarked
package org.fieldwright.app;

import org.jspecify.annotations.NullMarked;
