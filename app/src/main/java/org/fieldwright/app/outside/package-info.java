/** Whether something outside disturbs the field, and where it lies. */
@NullMarked
package org.fieldwright.app.outside;

import org.jspecify.annotations.NullMarked;
