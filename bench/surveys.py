"""The least squares of SurveyTimer's turning survey by numpy and scipy, on the same matrix.

Prints median and quartiles in ms of each route and the largest difference of its coefficients from ours.
"""

import sys
import time

import numpy as np
import scipy.linalg

raw = np.fromfile(sys.argv[1])
rows, columns = int(raw[0]), int(raw[1])
x = raw[2 : 2 + rows * columns].reshape(rows, columns).copy()
y = raw[2 + rows * columns :][:rows].copy()
ours = raw[-columns:]

routes = {
    "numpy lstsq": lambda: np.linalg.lstsq(x, y, rcond=None)[0],
    "scipy gelsy": lambda: scipy.linalg.lstsq(x, y, lapack_driver="gelsy")[0],
}
for name, route in routes.items():
    times = []
    for _ in range(31):
        start = time.perf_counter()
        found = route()
        times.append(1e3 * (time.perf_counter() - start))
    low, middle, high = np.percentile(times[10:], [25, 50, 75])
    print(f"{name} {middle:.3f} {low:.3f} {high:.3f} difference {np.abs(found - ours).max():.1e}")
