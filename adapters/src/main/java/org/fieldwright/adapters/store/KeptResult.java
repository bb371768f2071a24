package org.fieldwright.adapters.store;

/**
 * A result under the name by which it is found again.
 *
 * @param id SHA-256 over the result's own words and its answer: the same result is kept once
 * @param answer SHA-256 of the answer
 */
public record KeptResult(String id, Result result, String answer) {}
