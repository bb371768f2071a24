package org.fieldwright.adapters.store;

import org.jspecify.annotations.Nullable;

/**
 * What a file is called and what it is.
 *
 * @param path its name in the magnet's folder; sub-folders by {@code /}
 * @param visit of the same magnet; null = belongs to the magnet as a whole
 */
public record Label(String magnet, String path, Kind kind, @Nullable String visit) {}
