/** The command line: words in, a service called, an answer and an exit status out. */
@NullMarked
package org.fieldwright.app.cli;

import org.jspecify.annotations.NullMarked;
