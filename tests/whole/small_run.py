"""A small recording of a banded disc in a restless sky, written without any of halfarc's own code."""

import math
import random
import struct

SIZE = 96
RADIUS = 30.0
MONO = 0


def disc(x0, y0):
    """One frame without noise: a limb-darkened disc with three bands and a spot, its centre at (x0, y0)."""
    frame = [0.0] * (SIZE * SIZE)
    for y in range(SIZE):
        for x in range(SIZE):
            u, v = (x - x0) / RADIUS, (y - y0) / RADIUS
            r = math.hypot(u, v)
            edge = min(1.0, max(0.0, (1.0 - r) * RADIUS / 1.5 + 0.5))
            if edge > 0.0:
                bands = 1.0 + 0.15 * math.cos(9.0 * v) - 0.25 * math.exp(-((u - 0.3) ** 2 + (v - 0.2) ** 2) / 0.01)
                frame[y * SIZE + x] = 12.0 + 150.0 * edge * bands * math.sqrt(max(0.05, 1.0 - 0.9 * r * r))
            else:
                frame[y * SIZE + x] = 12.0
    return frame


def raw_header(width=SIZE, height=SIZE, bits=8, frames=10, colour=MONO, ticks=0):
    """The 178 bytes that begin an open raw-frames container (.ser)."""
    header = b"halfarc-tests!" + struct.pack("<7i", 0, colour, 0, width, height, bits, frames) + b" " * 120
    return header + struct.pack("<2q", ticks, ticks)


def ticks_of(unix_seconds):
    """100 ns steps since the year 1, as that container counts time."""
    return int((unix_seconds + 62_135_596_800) * 10_000_000)


def write_run(path, frames=160, repeats=1, seed=1, missing=()):
    """Frames at 50 a second from 2026-11-25T21:00:00Z, each moved by a fraction of a pixel and with noise of its own.

    The numbers in `missing` were dropped by the camera: no frame has their times.
    """
    chance = random.Random(seed)
    places = [(47.5 + chance.gauss(0.0, 0.7), 47.5 + chance.gauss(0.0, 0.7)) for _ in range(12)]
    clean = [disc(*place) for place in places]
    noise = [chance.gauss(0.0, 3.0) for _ in range(65_537)]
    pictures = []
    for number in range(frames):
        first = chance.randrange(len(noise))
        picture = clean[number % len(clean)]
        shaken = (int(p + noise[(first + i) % len(noise)] + 0.5) for i, p in enumerate(picture))
        pictures.append(bytes(min(255, max(0, v)) for v in shaken))
    start = 1_795_640_400
    total = frames * repeats
    with open(path, "wb") as out:
        out.write(raw_header(frames=total, ticks=ticks_of(start)))
        for _ in range(repeats):
            out.writelines(pictures)
        numbers = [n for n in range(total + len(missing)) if n not in missing]
        out.write(struct.pack(f"<{total}q", *(ticks_of(start + 0.02 * n) for n in numbers)))
