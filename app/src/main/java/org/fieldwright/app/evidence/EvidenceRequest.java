package org.fieldwright.app.evidence;

import java.nio.file.Path;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What goes into a bundle of evidence.
 *
 * @param survey the readings that the first verdicts rest on
 * @param magnet magnet file; the tables it names come along
 * @param loaded list of the changes made after it; null where nothing was loaded
 * @param after readings after loading: the verdicts are then theirs; null where there are none
 * @param log field log; null where there is none
 * @param degree of the field models; null = by leave-one-out error
 * @param leaveOut rows of the first survey not used by a person's decision
 * @param keep rows of the first survey used by a person's decision
 */
public record EvidenceRequest(
    Path survey,
    Path magnet,
    @Nullable Path loaded,
    @Nullable Path after,
    @Nullable Path log,
    @Nullable Integer degree,
    Set<Integer> leaveOut,
    Set<Integer> keep) {

  public EvidenceRequest {
    leaveOut = Set.copyOf(leaveOut);
    keep = Set.copyOf(keep);
  }
}
