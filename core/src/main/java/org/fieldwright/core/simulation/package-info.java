/**
 * Virtual magnets and what an array would read in them: sources, never harmonics, so that every
 * computation can be held against a truth it does not share.
 */
@NullMarked
package org.fieldwright.core.simulation;

import org.jspecify.annotations.NullMarked;
