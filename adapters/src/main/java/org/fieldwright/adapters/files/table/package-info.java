/** Rows of cells from delimited text or a spreadsheet, behind one cursor. */
@NullMarked
package org.fieldwright.adapters.files.table;

import org.jspecify.annotations.NullMarked;
