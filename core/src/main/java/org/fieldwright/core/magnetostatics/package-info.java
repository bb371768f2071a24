/**
 * Fields of the sources that matter here: iron pieces, loops, blocks, rings; and the constants of
 * the trade.
 */
@NullMarked
package org.fieldwright.core.magnetostatics;

import org.jspecify.annotations.NullMarked;
