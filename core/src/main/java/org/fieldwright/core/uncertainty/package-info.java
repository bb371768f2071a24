/** Standard uncertainty, budgets and decisions against a limit (JCGM 100, 101, 106). */
@NullMarked
package org.fieldwright.core.uncertainty;

import org.jspecify.annotations.NullMarked;
