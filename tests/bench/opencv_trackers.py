"""General-purpose trackers of OpenCV on rendered clips, each told the disc's true box in the first frame.

Reads a JSON array of {name, clip} on standard input and writes one of
{name, tracker, rms_mm, p95_mm, worst_mm, followed}: the followed centre against where the disc's centre appears, one
constant offset removed, pixels turned into millimetres by the true size of the disc in each frame. `followed` is the share
of frames in which the tracker gave a place; lengths are null where it gave fewer than ten.
"""

import json
import sys

import cv2
import numpy as np


class Box:
    """A tracker of OpenCV that follows a box."""

    def __init__(self, create):
        self.tracker = create()

    def start(self, frame, grey, centre, radius):
        x, y = centre
        box = tuple(int(round(v)) for v in (x - radius, y - radius, 2 * radius, 2 * radius))
        # A box of whole pixels need not lie round the true centre; the constant offset takes that out.
        self.tracker.init(frame, box)

    def step(self, frame, grey):
        found, (x, y, w, h) = self.tracker.update(frame)
        return (x + w / 2, y + h / 2) if found else None


class OpticalFlow:
    """Pyramidal Lucas and Kanade on corners of the disc, those kept that come back when followed backward."""

    window = dict(winSize=(21, 21), maxLevel=3)

    def start(self, frame, grey, centre, radius):
        self.centre, self.radius, self.grey = np.array(centre), radius, grey
        self.points = self.corners()

    def corners(self):
        mask = np.zeros_like(self.grey)
        cv2.circle(mask, tuple(int(round(v)) for v in self.centre), int(0.95 * self.radius), 255, -1)
        points = cv2.goodFeaturesToTrack(self.grey, 150, 0.01, 5, mask=mask)
        return np.empty((0, 1, 2), np.float32) if points is None else points

    def step(self, frame, grey):
        if len(self.points) < 8:
            self.points = self.corners()
        if len(self.points) == 0:
            return None
        there, ok1, _ = cv2.calcOpticalFlowPyrLK(self.grey, grey, self.points, None, **self.window)
        back, ok2, _ = cv2.calcOpticalFlowPyrLK(grey, self.grey, there, None, **self.window)
        kept = (np.linalg.norm(back - self.points, axis=2) < 0.5)[:, 0] & (ok1 == 1)[:, 0] & (ok2 == 1)[:, 0]
        self.grey = grey
        if kept.sum() < 4:
            self.points = np.empty((0, 1, 2), np.float32)
            return None
        self.centre = self.centre + np.median((there - self.points)[kept, 0], axis=0)
        self.points = there[kept]
        return tuple(self.centre)


class Template:
    """The disc's first picture, looked for round where it was last by normalised correlation, to parts of a pixel."""

    def start(self, frame, grey, centre, radius):
        self.half = int(radius)
        self.at = np.round(centre).astype(int)
        self.template = self.cut(grey, self.half)

    def cut(self, grey, half):
        x, y = self.at
        return grey[max(0, y - half) : y + half + 1, max(0, x - half) : x + half + 1]

    def step(self, frame, grey):
        reach = self.half // 2
        x0 = max(0, self.at[0] - self.half - reach)
        y0 = max(0, self.at[1] - self.half - reach)
        area = grey[y0 : self.at[1] + self.half + reach + 1, x0 : self.at[0] + self.half + reach + 1]
        height, width = self.template.shape
        if area.shape[0] < height or area.shape[1] < width:
            return None
        score = cv2.matchTemplate(area, self.template, cv2.TM_CCOEFF_NORMED)
        _, best, _, (x, y) = cv2.minMaxLoc(score)
        if best < 0.3:
            return None
        fine = (x + vertex(score[y, :], x), y + vertex(score[:, x], y))
        self.at = np.array([x0 + x + width // 2, y0 + y + height // 2])
        return (x0 + fine[0] + (width - 1) / 2, y0 + fine[1] + (height - 1) / 2)


def vertex(values, i):
    """Where the parabola through a value and its neighbours is highest, from that value's place."""
    if i <= 0 or i >= len(values) - 1:
        return 0.0
    a, b, c = (float(v) for v in values[i - 1 : i + 2])
    bend = a - 2 * b + c
    return 0.0 if bend == 0 else (a - c) / (2 * bend)


def trackers():
    """Those that this build of OpenCV has."""
    legacy = getattr(cv2, "legacy", None)

    def create(name):
        return getattr(cv2, name, None) or getattr(legacy, name, None)

    boxes = {
        "CSRT": create("TrackerCSRT_create"),
        "KCF": create("TrackerKCF_create"),
        "MOSSE": create("TrackerMOSSE_create"),
        "median flow": create("TrackerMedianFlow_create"),
    }
    made = {name: Box(make) for name, make in boxes.items() if make is not None}
    return {
        **made,
        "optical flow": OpticalFlow(),
        "template": Template(),
    }


turns = {90: cv2.ROTATE_90_CLOCKWISE, 180: cv2.ROTATE_180, 270: cv2.ROTATE_90_COUNTERCLOCKWISE}


def frames_of(clip, film):
    """Frames as displayed."""
    video = cv2.VideoCapture(clip)
    shown = (film["height_px"], film["width_px"])
    while True:
        ok, frame = video.read()
        if not ok:
            return
        if frame.shape[:2] != shown:
            frame = cv2.rotate(frame, turns[film["rotation_deg"]])
        yield frame


def follow(clip):
    """Errors of every tracker on a clip, millimetres, one row a frame; NaN where it gave no place."""
    with open(clip.removesuffix(".mp4") + ".truth.json", encoding="utf-8") as file:
        truth = json.load(file)
    real = truth["frames"]
    running = trackers()
    errors = {name: np.full((len(real), 2), np.nan) for name in running}
    for i, frame in enumerate(frames_of(clip, truth["film"])):
        if i >= len(real):
            break
        grey = cv2.cvtColor(frame, cv2.COLOR_BGR2GRAY)
        at = np.array([real[i]["px"], real[i]["py"]])
        mm_per_px = 1000 * truth["disc"]["diameter_m"] / (2 * real[i]["rim"]["a_px"])
        for name, tracker in list(running.items()):
            if i == 0:
                tracker.start(frame, grey, tuple(at), real[0]["rim"]["a_px"])
                continue
            try:
                place = tracker.step(frame, grey)
            except cv2.error:
                del running[name]
                continue
            if place is not None:
                errors[name][i] = mm_per_px * (np.array(place) - at)
    return errors


def outcome(name, tracker, errors):
    given = errors[np.isfinite(errors[:, 0])]
    followed = len(given) / max(1, len(errors) - 1)
    if len(given) < 10:
        return dict(name=name, tracker=tracker, rms_mm=None, p95_mm=None, worst_mm=None, followed=followed)
    off = np.linalg.norm(given - given.mean(axis=0), axis=1)
    return dict(
        name=name,
        tracker=tracker,
        rms_mm=float(np.sqrt(np.mean(off**2))),
        p95_mm=float(np.percentile(off, 95)),
        worst_mm=float(off.max()),
        followed=followed,
    )


if __name__ == "__main__":
    clips = json.load(sys.stdin)
    json.dump(
        [outcome(c["name"], t, e) for c in clips for t, e in follow(c["clip"]).items()],
        sys.stdout,
    )
