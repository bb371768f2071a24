/** The signed paper: a visit's result as a PDF. */
@NullMarked
package org.fieldwright.adapters.report;

import org.jspecify.annotations.NullMarked;
