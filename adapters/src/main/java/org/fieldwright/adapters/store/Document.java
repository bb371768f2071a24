package org.fieldwright.adapters.store;

import java.time.Instant;

/**
 * A file as it is kept: byte for byte as it was given.
 *
 * @param sha256 of its content, lower-case hexadecimal
 * @param bytes its length
 * @param saved when this content was given
 * @param revision counts up by one with each new content or label
 */
public record Document(Label label, String sha256, long bytes, Instant saved, long revision) {}
