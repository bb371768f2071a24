"""Least squares over PointTimer's points by numpy and scipy, from points to coefficients.

Prints seconds of clock and of the processor for the matrix and for each route, the largest difference from our coefficients
(relative to the largest), and the largest memory in units of the matrix.
"""

import resource
import sys
import time

import numpy as np
import scipy.linalg

raw = np.fromfile(sys.argv[1])
n, count = int(raw[0]), int(raw[1])
x, y, z, values = np.ascontiguousarray(raw[2 : 2 + 4 * n].reshape(n, 4).T)
ours = raw[2 + 4 * n :]
degree = int(np.sqrt(count)) - 1


def harmonics():
    """Schmidt semi-normalised solid harmonics, order n, m, cos, sin (upward recurrence in n, DLMF 14.10.3), by columns."""
    a = np.empty((n, count), order="F")
    r2 = x * x + y * y + z * z
    cos, sin = np.ones(n), np.zeros(n)
    for m in range(degree + 1):
        if m > 0:
            f = 1 if m == 1 else np.sqrt((2 * m - 1) / (2 * m))
            cos, sin = f * (cos * x - sin * y), f * (cos * y + sin * x)
        before, now = 0, np.ones(n)
        for k in range(m, degree + 1):
            if k > m:
                root = np.sqrt(k * k - m * m)
                fall = np.sqrt((k - 1) ** 2 - m * m) / root
                before, now = now, (2 * k - 1) / root * z * now - fall * r2 * before
            if m == 0:
                a[:, k * k] = now
            else:
                a[:, k * k + 2 * m - 1] = now * cos
                a[:, k * k + 2 * m] = now * sin
    return a


def normal_equations():
    factor = scipy.linalg.cho_factor(a.T @ a)
    return scipy.linalg.cho_solve(factor, a.T @ values)


def householder():
    q, r = scipy.linalg.qr(a, mode="economic")
    return scipy.linalg.solve_triangular(r, q.T @ values)


def timed(name, work):
    clock, cpu = time.perf_counter(), time.process_time()
    result = work()
    print(f"{name}: {time.perf_counter() - clock:.3f} s, processor {time.process_time() - cpu:.3f} s", end="")
    return result


a = timed("numpy matrix", harmonics)
print()
routes = {"numpy normal equations": normal_equations, "scipy QR": householder}
for name, route in routes.items():
    for run in range(3 if route is normal_equations else 1):
        found = timed(name, route)
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / a.nbytes
        print(f", difference {np.abs(found - ours).max() / np.abs(ours).max():.1e}, memory {memory:.1f} matrices")
