/**
 * The accounts of a team that shares a server: who they are, what each may do, who is signed in.
 */
@NullMarked
package org.fieldwright.app.team;

import org.jspecify.annotations.NullMarked;
