#!/usr/bin/env python3
"""Whole counts that make a field as even as HiGHS can within a time limit; called by WholePieceRivals.

Usage: highs.py PROBLEM ANSWER SECONDS. PROBLEM is little-endian float64: columns, targets, most pieces, the field before at every target, then
what one piece in each column adds there, column after column. ANSWER gets one count a line. Needs scipy (Debian: python3-scipy).
"""
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

problem, answer, seconds = sys.argv[1:]
data = np.fromfile(problem, "<f8")
columns, targets, most = (int(v) for v in data[:3])
before = data[3 : 3 + targets]
response = data[3 + targets :].reshape(columns, targets).T
one = np.ones((targets, 1))
zero = np.zeros((targets, 1))
infinite = np.full(2, np.inf)
found = milp(
    np.concatenate([np.zeros(columns), [1, -1]]),  # counts, highest, lowest
    constraints=[
        LinearConstraint(np.hstack([response, -one, zero]), ub=-before),
        LinearConstraint(np.hstack([response, zero, -one]), lb=-before),
    ],
    integrality=np.concatenate([np.ones(columns), [0, 0]]),
    bounds=Bounds(np.concatenate([np.zeros(columns), -infinite]), np.concatenate([np.full(columns, most), infinite])),
    options={"time_limit": float(seconds)},
)
counts = [] if found.x is None else np.rint(found.x[:columns]).astype(int)
with open(answer, "w") as out:
    out.writelines(f"{n}\n" for n in counts)
