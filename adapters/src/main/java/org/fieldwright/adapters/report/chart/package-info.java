/** Charts as SVG, drawn without a charting library; lengths in CSS pixels (96 to the inch). */
@NullMarked
package org.fieldwright.adapters.report.chart;

import org.jspecify.annotations.NullMarked;
