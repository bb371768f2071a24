package org.fieldwright.core.correction;

import org.jspecify.annotations.Nullable;

/**
 * What else a plan has to keep to.
 *
 * @param mostChanges pieces put in or taken out; null for any number
 * @param removal whether installed pieces may be taken out
 * @param symmetric whether the two pockets of a tray that mirror each other in the mid-plane are
 *     changed alike, so that their pulls cancel and a tray turned end for end does no harm; only
 *     what is even in z can then be corrected
 * @param mostShiftPpm by which the field at the centre may move either way; null for any
 * @param coilHeadroom share of every coil's limit kept for later
 */
public record PlanRules(
    @Nullable Integer mostChanges,
    boolean removal,
    boolean symmetric,
    @Nullable Double mostShiftPpm,
    double coilHeadroom) {

  /** Anything goes. */
  public static final PlanRules NONE = new PlanRules(null, true, false, null, 0);

  /** The same, with pieces changed at most. */
  public PlanRules withMostChanges(@Nullable Integer most) {
    return new PlanRules(most, removal, symmetric, mostShiftPpm, coilHeadroom);
  }

  /** The same, with or without taking out. */
  public PlanRules withRemoval(boolean allowed) {
    return new PlanRules(mostChanges, allowed, symmetric, mostShiftPpm, coilHeadroom);
  }
}
