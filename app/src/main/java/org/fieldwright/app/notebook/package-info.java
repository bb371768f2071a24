/** The magnets a person keeps: one folder of plain files each, in the user's data directory. */
@NullMarked
package org.fieldwright.app.notebook;

import org.jspecify.annotations.NullMarked;
