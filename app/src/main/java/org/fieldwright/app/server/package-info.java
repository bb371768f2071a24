/** The local server: HTTP on loopback in front of the services the command line calls too. */
@NullMarked
package org.fieldwright.app.server;

import org.jspecify.annotations.NullMarked;
