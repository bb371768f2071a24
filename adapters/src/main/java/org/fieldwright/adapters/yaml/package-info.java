/**
 * YAML as a tree whose every node knows its line and column; nothing is constructed from it that
 * was not asked for by name and type.
 */
@NullMarked
package org.fieldwright.adapters.yaml;

import org.jspecify.annotations.NullMarked;
