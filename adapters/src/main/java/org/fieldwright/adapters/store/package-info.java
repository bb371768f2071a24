/**
 * Where magnets, visits, files, rounds and results are kept: one SQLite file by default, a
 * PostgreSQL server by one setting. Everything in it leaves as plain files.
 */
@NullMarked
package org.fieldwright.adapters.store;

import org.jspecify.annotations.NullMarked;
