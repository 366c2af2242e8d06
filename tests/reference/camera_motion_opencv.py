"""Makes camera-motion-opencv.json: robust similarities and corner strengths by OpenCV.

Run with Python 3, numpy and OpenCV; the versions used are written into the file.
"""

import json
import pathlib

import cv2
import numpy as np

random = np.random.default_rng(20)


def matched_points():
    """Sixty background points under one similarity with noise, and twenty that move by themselves."""
    cases = []
    for scale, degrees, tx, ty in [(1.0, 0.0, 0.0, 0.0), (1.01, 0.8, 6.3, -4.1), (0.985, -2.0, -31.7, 12.9)]:
        angle = np.deg2rad(degrees)
        linear = scale * np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        source = np.round(random.uniform([0, 0], [1920, 1080], (80, 2)), 2)
        target = source @ linear.T + [tx, ty] + random.normal(0, 0.08, (80, 2))
        target[60:] += random.normal([25, -40], 6, (20, 2))
        target = np.round(target, 3)
        matrix, inliers = cv2.estimateAffinePartial2D(
            source, target, method=cv2.RANSAC, ransacReprojThreshold=0.5, maxIters=5000, confidence=0.9999, refineIters=50
        )
        cases.append(
            {
                "from": source.tolist(),
                "to": target.tolist(),
                "matrix": matrix.tolist(),
                "inliers": inliers.ravel().tolist(),
            }
        )
    return cases


def corner_strengths():
    """A small textured picture, and its minimum eigenvalues per pixel of the window, in (grey levels / px)^2."""
    noise = random.normal(0, 1, (48, 64))
    picture = cv2.GaussianBlur(noise, (0, 0), 2.5)
    picture = np.clip(128 + 60 * picture / picture.std(), 0, 255).astype(np.uint8)
    block = 9
    # OpenCV scales 8-bit pictures by 1 / (255 * 4 * block) for a 3 x 3 Sobel kernel, whose own weight is 8,
    # and sums over the block without dividing by its area.
    eigenvalues = cv2.cornerMinEigenVal(picture, block, ksize=3).astype(float) * (255 * 4 * block) ** 2 / 64 / block**2
    return {"block": block, "picture": picture.tolist(), "eigenvalues": np.round(eigenvalues, 5).tolist()}


out = {
    "opencv": cv2.__version__,
    "numpy": np.__version__,
    "similarities": matched_points(),
    "corners": corner_strengths(),
}
path = pathlib.Path(__file__).with_name("camera-motion-opencv.json")
path.write_text(json.dumps(out, separators=(",", ":")) + "\n")
