/**
 * Files people keep: the magnet, surveys, field logs, loadings. Read strictly, answered in plain
 * words, written all or nothing.
 */
@NullMarked
package org.fieldwright.adapters.files;

import org.jspecify.annotations.NullMarked;
