/** From a survey file and a magnet file to the field model and a verdict on each limit. */
@NullMarked
package org.fieldwright.app.assess;

import org.jspecify.annotations.NullMarked;
