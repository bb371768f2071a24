package org.fieldwright.core.reading;

/**
 * A degree of the field model that was tried.
 *
 * @param leaveOneOutPpm root mean square of the leave-one-out residuals (PRESS over the readings),
 *     faults taken up, readings that alone hold a term left out; infinite where no other is there
 */
public record DegreeTried(int degree, double leaveOneOutPpm) {}
