"""A sheet of drawing paper: lines, tints, hatching, dimensions and leaders, with Pillow.

Coordinates are pixels of the finished picture, 1200 x 900; all is drawn three times as large and
reduced, which smooths the lines.  The letters are those that come with Pillow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

Point = tuple[float, float]
Colour = tuple[int, int, int]

BARE: Colour = (255, 255, 255)
PAPER: Colour = (249, 246, 239)
INK: Colour = (38, 50, 47)
THIN: Colour = (122, 130, 126)
WOOD: Colour = (228, 213, 187)
WOOD_DARK: Colour = (206, 184, 150)
FELT: Colour = (221, 217, 208)
FELT_RED: Colour = (190, 150, 138)
IRON: Colour = (200, 196, 184)
STEEL: Colour = (176, 182, 184)
COPPER: Colour = (190, 134, 96)
WHITE: Colour = (253, 252, 248)
FAULT: Colour = (163, 68, 40)

SCALE = 3
WIDE, HIGH = 1200, 900


def curve(points: Sequence[Point], steps: int = 24) -> list[Point]:
    """A smooth line through the points (Catmull-Rom)."""
    ends = [points[0], *points, points[-1]]
    out: list[Point] = []
    for a, b, c, d in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        for i in range(steps):
            t = i / steps
            out.append(
                (
                    _between(a[0], b[0], c[0], d[0], t),
                    _between(a[1], b[1], c[1], d[1], t),
                )
            )
    return [*out, points[-1]]


def _between(a: float, b: float, c: float, d: float, t: float) -> float:
    square, cube = t * t, t * t * t
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * square + (3 * b - a - 3 * c + d) * cube
    )


def box(x: float, y: float, wide: float, high: float) -> list[Point]:
    return [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]


class Sheet:
    """One drawing.  Every method draws over what is there."""

    def __init__(
        self,
        title: str = "",
        remark: str = "",
        size: tuple[int, int] = (WIDE, HIGH),
        ground: Colour = PAPER,
    ):
        self.size = size
        self.image = Image.new("RGB", (size[0] * SCALE, size[1] * SCALE), ground)
        self.draw = ImageDraw.Draw(self.image)
        if title:
            self.shape(box(24, 24, size[0] - 48, size[1] - 48), None, THIN, 1)
            self.line([(24, size[1] - 82), (size[0] - 24, size[1] - 82)], THIN, 1)
            self.text((48, size[1] - 53), title, 26)
            self.text((size[0] - 48, size[1] - 53), remark, 19, THIN, "rm")

    def line(
        self, points: Sequence[Point], colour: Colour = INK, width: float = 2, closed: bool = False
    ) -> None:
        path = [(x * SCALE, y * SCALE) for x, y in points]
        if closed:
            path += path[:2]
        self.draw.line(path, colour, round(width * SCALE), joint="curve")

    def shape(
        self,
        points: Sequence[Point],
        fill: Colour | None = WOOD,
        edge: Colour | None = INK,
        width: float = 2,
    ) -> None:
        if fill is not None:
            self.draw.polygon([(x * SCALE, y * SCALE) for x, y in points], fill)
        if edge is not None:
            self.line(points, edge, width, closed=True)

    def disc(
        self,
        middle: Point,
        radius: float,
        fill: Colour | None = STEEL,
        edge: Colour | None = INK,
        width: float = 2,
    ) -> None:
        self.oval(middle, radius, radius, fill, edge, width)

    def oval(
        self,
        middle: Point,
        across: float,
        down: float,
        fill: Colour | None,
        edge: Colour | None = INK,
        width: float = 2,
    ) -> None:
        around = [i * math.tau / 96 for i in range(96)]
        points = [
            (middle[0] + across * math.cos(a), middle[1] + down * math.sin(a)) for a in around
        ]
        self.shape(points, fill, edge, width)

    def hatch(
        self,
        points: Sequence[Point],
        apart: float = 9,
        angle: float = 45,
        colour: Colour = THIN,
        width: float = 0.8,
    ) -> None:
        """Even lines inside a shape: a cut face, end grain, or shade."""
        mask = Image.new("L", self.image.size, 0)
        ImageDraw.Draw(mask).polygon([(x * SCALE, y * SCALE) for x, y in points], 255)
        lines = Image.new("L", self.image.size, 0)
        pen = ImageDraw.Draw(lines)
        far = 2 * max(self.image.size)
        turn = math.radians(angle)
        along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
        middle = (self.image.size[0] / 2, self.image.size[1] / 2)
        for i in range(-round(far / (apart * SCALE)), round(far / (apart * SCALE))):
            x = middle[0] + across[0] * i * apart * SCALE
            y = middle[1] + across[1] * i * apart * SCALE
            reach = (along[0] * far, along[1] * far)
            ends = [(x - reach[0], y - reach[1]), (x + reach[0], y + reach[1])]
            pen.line(ends, 255, max(1, round(width * SCALE)))
        lines.paste(0, mask=mask.point(lambda level: 255 - level))
        self.image.paste(colour, mask=lines)

    def text(
        self, at: Point, words: str, size: float = 20, colour: Colour = INK, anchor: str = "lm"
    ) -> None:
        font = ImageFont.load_default(size * SCALE)
        self.draw.text((at[0] * SCALE, at[1] * SCALE), words, colour, font=font, anchor=anchor)

    def leader(self, at: Point, to: Point, words: str, colour: Colour = INK) -> None:
        """A thin line from a thing to its name; the name stands away from the thing."""
        self.line([at, to], colour, 1.1)
        self.disc(at, 3, colour, None)
        right = to[0] >= at[0]
        gap = 9 if right else -9
        self.text((to[0] + gap, to[1]), words, 20, colour, "lm" if right else "rm")

    def measure(self, a: Point, b: Point, words: str) -> None:
        """A dimension line with strokes at its ends and its figure on the paper's own ground."""
        self.line([a, b], THIN, 1)
        turn = math.atan2(b[1] - a[1], b[0] - a[0]) + math.pi / 4
        stroke = (7 * math.cos(turn), 7 * math.sin(turn))
        for x, y in (a, b):
            self.line([(x - stroke[0], y - stroke[1]), (x + stroke[0], y + stroke[1])], INK, 1.4)
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        font = ImageFont.load_default(19 * SCALE)
        half = font.getlength(words) / SCALE / 2 + 7
        self.shape(box(middle[0] - half, middle[1] - 14, 2 * half, 28), PAPER, None)
        self.text(middle, words, 19, INK, "mm")

    def finished(self) -> Image.Image:
        return self.image.resize(self.size, Image.Resampling.LANCZOS)

    def save(self, file: Path) -> None:
        """JPEG or PNG by the file's name, always the same bytes with the same Pillow."""
        file.parent.mkdir(parents=True, exist_ok=True)
        small = self.finished()
        if file.suffix == ".png":
            small.save(file, optimize=True)
        else:
            small.save(file, quality=88, optimize=True, subsampling=0)
