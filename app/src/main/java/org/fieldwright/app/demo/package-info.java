/** The whole job once through, on a virtual magnet. */
@NullMarked
package org.fieldwright.app.demo;

import org.jspecify.annotations.NullMarked;
