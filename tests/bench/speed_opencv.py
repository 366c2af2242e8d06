"""What OpenCV's trackers take a frame on one clip, decoding left out, each told the disc's true box in the first frame.

Usage: speed_opencv.py CLIP FRAMES X Y RADIUS. Writes an object of milliseconds a frame by tracker, the median over frames.
"""

import json
import sys
import time

import cv2
import numpy as np
from opencv_trackers import trackers

wanted = ("CSRT", "optical flow")


def milliseconds(clip, frames, centre, radius):
    running = {name: tracker for name, tracker in trackers().items() if name in wanted}
    taken = {name: [] for name in running}
    video = cv2.VideoCapture(clip)
    for i in range(frames):
        ok, frame = video.read()
        if not ok:
            break
        grey = cv2.cvtColor(frame, cv2.COLOR_BGR2GRAY)
        for name, tracker in running.items():
            if i == 0:
                tracker.start(frame, grey, centre, radius)
                continue
            before = time.process_time()
            tracker.step(frame, grey)
            taken[name].append(1000 * (time.process_time() - before))
    return {name: float(np.median(times)) for name, times in taken.items()}


if __name__ == "__main__":
    clip, frames, *disc = sys.argv[1:]
    x, y, radius = (float(v) for v in disc)
    json.dump(milliseconds(clip, int(frames), (x, y), radius), sys.stdout)
