"""Writes motion-scipy.json beside this script: filtered signals by SciPy, for the tests of the smoothing.

Run with a Python that has SciPy: python3 tests/reference/motion_scipy.py
"""

import json
import math
import pathlib

import numpy as np
import scipy
from scipy.signal import butter, filtfilt


def signal(rate_hz, n):
    t = np.arange(n) / rate_hz
    return np.sin(2 * np.pi * t) + 0.3 * np.sin(2 * np.pi * 4 * t) + 0.1 * np.cos(2 * np.pi * 9 * t)


def rounded(values):
    return [float(f"{v:.12g}") for v in values]


def second_order(rate_hz, n, cutoff_hz):
    """Second order, both ways, the cut-off corrected for two passes on the tangent scale (Winter)."""
    c = (math.sqrt(2) - 1) ** 0.25
    single_hz = math.atan(math.tan(math.pi * cutoff_hz / rate_hz) / c) * rate_hz / math.pi
    b, a = butter(2, single_hz, fs=rate_hz)
    pad = math.ceil(1.5 * rate_hz / cutoff_hz)
    y = filtfilt(b, a, signal(rate_hz, n), padtype="odd", padlen=pad)
    return {"rateHz": rate_hz, "n": n, "cutoffHz": cutoff_hz, "b": rounded(b), "a": rounded(a), "y": rounded(y)}


def third_order(rate_hz, n, cutoff_hz):
    """Third order, both ways, the gain of both passes 1/sqrt(2) at the cut-off."""
    half_gain_hz = cutoff_hz / (math.sqrt(2) - 1) ** (1 / 6)
    b, a = butter(3, half_gain_hz, fs=rate_hz)
    y = filtfilt(b, a, signal(rate_hz, n), padlen=n - 1)
    return {"rateHz": rate_hz, "n": n, "cutoffHz": cutoff_hz, "y": rounded(y)}


out = {
    "scipy": scipy.__version__,
    "numpy": np.__version__,
    "signal": "sin(2 pi t) + .3 sin(2 pi 4 t) + .1 cos(2 pi 9 t)",
    "secondOrder": [second_order(60, 120, 6), second_order(30, 60, 4), second_order(120, 120, 10)],
    "thirdOrder": [third_order(240, 720, 6), third_order(120, 360, 4)],
}
path = pathlib.Path(__file__).with_name("motion-scipy.json")
path.write_text(json.dumps(out) + "\n")
