#!/usr/bin/env python3
"""Writes two benchmark magnets as files: P1 (1.5 T, 450 mm sphere) and P2 (0.5 T, 400 mm sphere).

Usage: bench/body_magnets.py DIR      then, for example:
       ./fieldwright shim DIR/p1.csv --magnet DIR/p1.yaml --seconds 10

The bare field is a closed form: Schmidt harmonics n = 1..12, coefficient at R
A·0.45^(n−1)·0.7^m·sin(12.9898 n + 78.233 m + 37.719 k), k = 0 cos, 1 sin. Read without noise at 24 Gauss–Legendre
planes × 32 angles. Iron: 24 trays × 15 pockets at radius 430 mm, one piece 4.0 g, at most 60 in a pocket. Needs numpy and scipy
(Debian: python3-scipy); shares no code with the project.
"""
import pathlib
import sys

import numpy as np
from scipy.special import factorial, lpmv

GAMMA = 42.57638543  # MHz/T, shielded proton, CODATA 2022
PLANES, ANGLES, DEGREE = 24, 32, 12


def schmidt(n, m, x):
    phase_free = lpmv(m, n, x) * (-1) ** m
    return phase_free * np.sqrt((2 - (m == 0)) * factorial(n - m) / factorial(n + m))


def field(amplitude, theta, phi):
    total = np.zeros_like(theta)
    for n in range(1, DEGREE + 1):
        for m in range(n + 1):
            for k, turn in ((0, np.cos(m * phi)), (1, np.sin(m * phi))):
                if m or not k:
                    size = amplitude * 0.45 ** (n - 1) * 0.7**m * np.sin(12.9898 * n + 78.233 * m + 37.719 * k)
                    total += size * schmidt(n, m, np.cos(theta)) * turn
    return total


def write(folder, name, b0, radius_mm, amplitude):
    theta = np.arccos(np.polynomial.legendre.leggauss(PLANES)[0][::-1])
    rows = ["angle_deg,probe,frequency_MHz"]
    for a in range(ANGLES):
        degrees = 360 * a / ANGLES
        ppm = field(amplitude, theta, np.full(PLANES, np.radians(degrees)))
        rows += [f"{degrees},{p + 1},{GAMMA * b0 * (1 + ppm[p] * 1e-6):.9f}" for p in range(PLANES)]
    (folder / f"{name}.csv").write_text("\n".join(rows) + "\n")
    heights = ", ".join(str(z) for z in range(-490, 491, 70))
    (folder / f"{name}.yaml").write_text(
        f"""fieldwright: 1
magnet: {{name: {name}, field_T: {b0}}}
array:
  name: half ring, {PLANES} probes
  sample: water
  radius_mm: {radius_mm}
  probes: {{kind: gauss_legendre, count: {PLANES}}}
limits:
  - {{id: sphere, shape: sphere, diameter_mm: {2 * radius_mm}, measure: peak_to_peak, limit_ppm: 20}}
iron:
  pockets: {{trays: 24, first_tray_deg: 7.5, radius_mm: 430, z_mm: [{heights}], plus_z_end: service end}}
  pieces:
    - {{id: plate, volume_mm3: {4.0e6 / 7870:.9f}, polarisation_T: 2.1, density_g_cm3: 7.87}}
  capacity_pieces: 60
"""
    )


def main():
    folder = pathlib.Path(sys.argv[1] if len(sys.argv) == 2 else sys.exit(__doc__))
    folder.mkdir(parents=True, exist_ok=True)
    write(folder, "p1", 1.5, 225, 220)
    write(folder, "p2", 0.5, 200, 310)


main()
