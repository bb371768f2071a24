"""The least squares of PointsTimer's free points by numpy and scipy, on the same matrix.

Prints seconds of the processor (all threads) and by the clock, and the largest difference of the coefficients from ours.
"""

import sys
import time

import numpy as np
import scipy.linalg

raw = np.fromfile(sys.argv[1])
rows, columns = int(raw[0]), int(raw[1])
x = raw[2 : 2 + rows * columns].reshape(rows, columns)
y = raw[2 + rows * columns :][:rows]
ours = raw[-columns:]


def qr():
    q, r = np.linalg.qr(x)
    return scipy.linalg.solve_triangular(r, q.T @ y)


def normal():
    return scipy.linalg.cho_solve(scipy.linalg.cho_factor(x.T @ x), x.T @ y)


for name, route in (("numpy QR", qr), ("numpy normal equations", normal)):
    for _ in range(3):
        clock, processor = time.perf_counter(), time.process_time()
        found = route()
        print(f"{name}: {time.process_time() - processor:.2f} s of the processor, {time.perf_counter() - clock:.2f} by the clock; difference {np.abs(found - ours).max():.1e}")
