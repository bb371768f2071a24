"""Overlapping Allan deviations of a million values at all doubling factors, in plain numpy.

Prints the median time in ms, then factor and deviation on each line, on the values that
OverlappingAllanTimer uses (java.util.Random, seed 1).
"""

import statistics
import sys
import time

import numpy as np


def values(n):
    """java.util.Random(1).nextInt(1 << 20) / 2^20: the top 20 bits of a 48-bit congruential generator."""
    state = (1 ^ 0x5DEECE66D) & ((1 << 48) - 1)
    out = np.empty(n)
    for i in range(n):
        state = (state * 0x5DEECE66D + 0xB) & ((1 << 48) - 1)
        out[i] = (state >> 28) / (1 << 20)
    return out


def overlapping_allan(y):
    x = np.concatenate(([0.0], np.cumsum(y - y.mean())))
    result = []
    m = 1
    while 2 * m <= len(y):
        d = x[2 * m :] - 2 * x[m:-m] + x[: -2 * m]
        result.append((m, np.sqrt(np.mean(d**2) / 2) / m))
        m *= 2
    return result


y = values(int(sys.argv[1]))
times = []
for run in range(15):
    start = time.perf_counter()
    table = overlapping_allan(y)
    times.append(1e3 * (time.perf_counter() - start))
print(f"{statistics.median(times[4:]):.3f}")
for m, deviation in table:
    print(m, repr(float(deviation)))
