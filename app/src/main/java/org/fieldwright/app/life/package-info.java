/**
 * A magnet folder over the years: visits, what changed between them, and a summary of each year.
 */
@NullMarked
package org.fieldwright.app.life;

import org.jspecify.annotations.NullMarked;
