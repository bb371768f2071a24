/**
 * The magnet as its file describes it: what it should be, what measures it, what may correct it.
 */
@NullMarked
package org.fieldwright.core.magnet;

import org.jspecify.annotations.NullMarked;
