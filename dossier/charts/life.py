"""The life of an instrument as one drawing: a line of time, marks on it and bars below it.

It is drawn by hand and not by the chart compiler: each mark is a link to its visit, which an
image could not hold, and a wide and a narrow drawing of it stand on one page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import sqrt
from xml.sax.saxutils import escape, quoteattr

from dossier.charts import lettering
from dossier.charts.palette import Palette
from dossier.edition.figures import LifeMark, LifePicture, LifeSpan

WIDE, NARROW, PAPER = 580.0, 300.0, 604.0
"""Widths in CSS pixels: beside the contents, on a telephone of 320 px, and on paper (160 mm)."""

APART = 24.0
"""Pixels between the middles of two links, so that a finger meets one (WCAG 2.2, 2.5.8)."""

BEFORE_SHARE = 0.3
"""The most of the width that the years before the first visit take.  A choice, no source."""

_YEAR = 365.25
_LINE, _BAR, _EDGE = 17.0, 9.0, 10.0


@dataclass(frozen=True, slots=True)
class Scale:
    """Where a day stands, in pixels: knots of (day's ordinal, place), straight between them.

    `even` is the place from which time runs evenly.
    """

    knots: tuple[tuple[int, float], ...]
    even: float

    def at(self, day: date) -> float:
        """The place of a day, which the knots enclose."""
        number = day.toordinal()
        for (one, left), (other, right) in pairwise(self.knots):
            if number <= other:
                share = (number - one) / (other - one) if other > one else 0.0
                return round(left + max(0.0, share) * (right - left), 1)
        return self.knots[-1][1]


def scale_of(picture: LifePicture, left: float, right: float) -> Scale:
    """The scale of a life between two places in pixels.

    From the first visit on time runs evenly.  Of the years before it, each stretch between two
    marks is as long as the square root of its years, where they would else take more than
    BEFORE_SHARE of the width: a century in which nobody wrote leaves room for ten years of notes.
    """
    days = sorted({mark.when.toordinal() for mark in picture.marks})
    start = picture.first.toordinal() if picture.first else days[0]
    before = [day for day in days if day < start]
    whole = max(picture.last.toordinal() - start, 1)
    if not before or (start - before[0]) <= BEFORE_SHARE / (1 - BEFORE_SHARE) * whole:
        first = before[0] if before else start
        return Scale(((first, left), (start + whole, right)), left)
    lengths = [sqrt((other - one) / _YEAR) for one, other in pairwise([*before, start])]
    even = left + BEFORE_SHARE * (right - left)
    knots, place = [(before[0], left)], left
    for day, length in zip([*before[1:], start], lengths, strict=True):
        place += length / sum(lengths) * (even - left)
        knots.append((day, place))
    return Scale((*knots, (start + whole, right)), even)


def draw_life(picture: LifePicture, palette: Palette, width: float, *, links: bool) -> str:
    """The drawing at a width in pixels; with `links` each mark and bar leads to its visit.

    The same picture gives the same text.  Colours are those of the palette, so that they can be
    replaced by custom properties; each kind differs by its shape too.
    """
    return _Drawing(picture, palette, width, links).svg()


class _Drawing:
    """The parts of one drawing, from the top down: what was told, the line, the years, the bars."""

    def __init__(self, picture: LifePicture, palette: Palette, width: float, links: bool) -> None:
        self.picture, self.palette, self.width, self.links = picture, palette, width, links
        self.size = 12.5 if links else 10.8
        self.apart = APART if links else 11.0
        self.scale = scale_of(picture, _EDGE, width - _EDGE - 8)
        self.told = tuple(mark for mark in picture.marks if not mark.target)
        self.visited = tuple(mark for mark in picture.marks if mark.target)

    def svg(self) -> str:
        labels = _rows_from_the_right(
            [(self.scale.at(mark.when), self._told_width(mark)) for mark in self.told], gap=10
        )
        line = 8.0 + _LINE * (max(labels, default=-1) + 1) + 6
        stacked = _stacked([self.scale.at(mark.when) for mark in self.visited], self.apart)
        years = line + 14 + self.apart * max(stacked, default=0) + _LINE
        bars, foot = self._bars(years + 12)
        parts = (
            *self._seasons(line - 4, foot - 4),
            *self._years(line, years, foot - 4),
            *self._line(line),
            *self._told(labels, line),
            *self._visits(stacked, line),
            *bars,
        )
        size = "" if self.links else f' width="{self.width:g}" height="{foot:g}"'
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:g} {foot:g}"{size} '
            f'font-family="Dossier Figures, sans-serif" font-size="{self.size:g}">'
            f"{''.join(parts)}</svg>"
        )

    def _told_width(self, mark: LifeMark) -> float:
        room = self.width - self.scale.at(mark.when) - 4
        return min(room, lettering.width(mark.short, self.size) + 6)

    def _seasons(self, top: float, foot: float) -> Iterator[str]:
        for opens, closes in self.picture.seasons:
            left, right = self.scale.at(opens), self.scale.at(closes)
            yield (
                f'<rect x="{left:g}" y="{top:g}" width="{max(right - left, 0.6):.1f}" '
                f'height="{foot - top:g}" fill="{self.palette.band}"/>'
            )

    def _years(self, line: float, at: float, foot: float) -> Iterator[str]:
        first = (self.picture.first or self.picture.marks[0].when).year + 1
        ticks = [
            (self.scale.at(date(year, 1, 1)), str(year))
            for year in range(first, self.picture.last.year + 1)
        ]
        step = lettering.every(ticks, self.size, gap=8) if ticks else 1
        for place, year in ticks[::-1][::step][::-1]:
            yield (
                f'<path d="M{place:g} {line:g}V{at - _LINE + 4:g}M{place:g} {at + 4:g}V{foot:g}" '
                f'stroke="{self.palette.rule}"/>'
            )
            yield self._text(place, at, year, fill=self.palette.muted, anchor="middle")

    def _line(self, at: float) -> Iterator[str]:
        """The line of time: broken where it isn't even, with a cut where it becomes so."""
        left, even, right = self.scale.knots[0][1], self.scale.even, self.width - 4
        ink = self.palette.ink
        if even > left:
            yield (
                f'<path d="M{left:g} {at:g}H{even - 19:g}" stroke="{ink}" stroke-width="1.5" '
                'stroke-dasharray="3 3"/>'
                f'<path d="M{even - 20:g} {at + 5:g}l4 -10m0 10l4 -10" stroke="{ink}"/>'
            )
            even -= 14
        yield f'<path d="M{even:g} {at:g}H{right:g}" stroke="{ink}" stroke-width="1.5"/>'

    def _told(self, rows: Sequence[int], line: float) -> Iterator[str]:
        for mark, row in zip(self.told, rows, strict=True):
            place, foot = self.scale.at(mark.when), line - 10 - _LINE * row
            room = self.width - place - 4
            shown = lettering.shortened(mark.short, self.size, room - 4)
            yield (
                f'<g role="img" aria-label={quoteattr(mark.name)}>'
                f'<path d="M{place:g} {line:g}V{foot - 10:g}" stroke="{self.palette.muted}"/>'
                f"{self._sign(mark.kind, place, line)}"
                f"{self._text(place + 4, foot, shown, fill=self.palette.ink)}</g>"
            )

    def _visits(self, rows: Sequence[int], line: float) -> Iterator[str]:
        for mark, row in zip(self.visited, rows, strict=True):
            place, down = self.scale.at(mark.when), line + self.apart * row
            sign = self._sign(mark.kind, place, down)
            yield self._link(mark, f"{self._reach(place, down)}{sign}")

    def _reach(self, place: float, down: float) -> str:
        """What a finger or a pointer meets; it also bears the ring of the keyboard's focus."""
        if not self.links:
            return ""
        return f'<circle class="reach" cx="{place:g}" cy="{down:g}" r="11.5" fill="transparent"/>'

    def _bars(self, top: float) -> tuple[list[str], float]:
        """Bars of all spans, as many in a row as don't meet, and where the drawing ends."""
        spans = self.picture.spans
        height = _LINE + _BAR + 8
        rows = lettering.rows([self._extent(span) for span in spans], gap=14)
        drawn = [self._bar(span, top + height * row) for span, row in zip(spans, rows, strict=True)]
        return drawn, top + height * (max(rows, default=-1) + 1) + 4

    def _extent(self, span: LifeSpan) -> tuple[float, float]:
        left = self.scale.at(span.pieces[0][0])
        last = span.pieces[-1][1]
        right = self.scale.at(last) if last else self.width - 4
        label = lettering.width(span.short, self.size) + 4
        start = min(left, max(4.0, self.width - 4 - label))
        return start, max(right, min(start + label, self.width - 4), left + APART)

    def _bar(self, span: LifeSpan, top: float) -> str:
        start, right = self._extent(span)
        room = self.width - 4 - start
        label = lettering.shortened(span.short, self.size, room)
        shown = [self._text(start, top + 12, label, fill=self.palette.ink)]
        if self.links:
            shown.insert(
                0,
                f'<rect class="reach" x="{start - 3:g}" y="{top - 1:g}" '
                f'width="{right - start + 3:.1f}" height="{_LINE + _BAR + 4:g}" '
                'fill="transparent"/>',
            )
        foot = top + _LINE
        for opened, closed in span.pieces:
            shown.append(self._piece(span.kind, opened, closed, foot))
        return self._link(span, "".join(shown))

    def _piece(self, kind: str, opened: date, closed: date | None, top: float) -> str:
        """A stretch: hollow where it was closed, full and pointed where it still is open."""
        left = self.scale.at(opened)
        right = max(self.scale.at(closed) if closed else self.width - 4, left + 3)
        colour = self.palette.warn if closed is None else self.palette.muted
        fill = colour if closed is None or kind == "safety" else self.palette.ground
        point = 5.0 if closed is None else 0.0
        edge = (
            f"M{left:g} {top:g}H{right - point:g}l{point:g} {_BAR / 2:g}"
            f"l{-point:g} {_BAR / 2:g}H{left:g}z"
        )
        if not point:
            edge = f"M{left:g} {top:g}H{right:g}v{_BAR:g}H{left:g}z"
        return f'<path d="{edge}" fill="{fill}" stroke="{colour}" stroke-width="1.5"/>'

    def _sign(self, kind: str, x: float, y: float) -> str:
        return sign(kind, x, y, self.palette)

    def _text(self, x: float, y: float, text: str, *, fill: str, anchor: str = "") -> str:
        placed = f' text-anchor="{anchor}"' if anchor else ""
        return f'<text x="{x:g}" y="{y:g}" fill="{fill}"{placed}>{escape(text)}</text>'

    def _link(self, of: LifeMark | LifeSpan, inner: str) -> str:
        name = quoteattr(of.name)
        if not self.links:
            return f"<g>{inner}</g>"
        title = f"<title>{escape(of.name)}</title>"
        return f'<a href="#{of.target}" aria-label={name}>{title}{inner}</a>'


Outline = Callable[[float, float], str]

_OUTLINES: dict[str, tuple[Outline, bool]] = {
    "origin": (lambda x, y: f"M{x:g} {y - 6:g}l6 6l-6 6l-6 -6z", True),
    "move": (lambda x, y: f"M{x:g} {y - 6:g}l6 6l-6 6l-6 -6z", False),
    "raise": (lambda x, y: f"M{x:g} {y - 6.5:g}l6.5 11.5h-13z", True),
    "repair": (lambda x, y: f"M{x - 5:g} {y - 5:g}h10v10h-10z", True),
    "equipment": (lambda x, y: f"M{x - 5:g} {y - 5:g}h10v10h-10z", False),
}


def sign(kind: str, x: float, y: float, palette: Palette) -> str:
    """The sign of a kind of moment around a place, some 12 px across; a visit is a ring."""
    if kind not in _OUTLINES:
        return (
            f'<circle cx="{x:g}" cy="{y:g}" r="4.8" fill="{palette.ground}" '
            f'stroke="{palette.left}" stroke-width="2"/>'
        )
    outline, full = _OUTLINES[kind]
    colour = palette.ink if kind in ("origin", "move") else palette.left
    fill = colour if full else palette.ground
    return f'<path d="{outline(x, y)}" fill="{fill}" stroke="{colour}" stroke-width="1.5"/>'


def draw_sign(kind: str, palette: Palette) -> str:
    """A sign of the legend alone, 16 px square."""
    if kind == "season":
        body = f'<rect x="1" y="1" width="14" height="14" fill="{palette.band}"/>'
    elif kind == "open":
        body = f'<path d="M1 4H11l4 4l-4 4H1z" fill="{palette.warn}" stroke="{palette.warn}"/>'
    elif kind in ("settled", "lifted"):
        fill = palette.ground if kind == "settled" else palette.muted
        body = f'<path d="M1 4H15v8H1z" fill="{fill}" stroke="{palette.muted}"/>'
    else:
        body = sign(kind, 8, 8, palette)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16" width="16" height="16" '
        f'aria-hidden="true">{body}</svg>'
    )


def _stacked(places: Sequence[float], apart: float) -> tuple[int, ...]:
    """A row for each mark, the nearest to the line in which it keeps clear of its neighbours."""
    half = apart / 2
    return lettering.rows([(place - half, place + half) for place in places], gap=0)


def _rows_from_the_right(labels: Sequence[tuple[float, float]], gap: float) -> tuple[int, ...]:
    """A row for each label that begins at its place, so that no leader crosses another's words.

    `labels` are (place, width); the rightmost is nearest to the line.  A leader comes down from
    its label through all rows below, so that what is placed after it ends before it.
    """
    free: list[float] = []
    placed = [0] * len(labels)
    for index in sorted(range(len(labels)), key=lambda each: (-labels[each][0], -each)):
        place, width = labels[index]
        fits = (row for row, start in enumerate(free) if place + width + gap <= start)
        row = next(fits, len(free))
        free[row : row + 1] = [place]
        free[:row] = [min(start, place) for start in free[:row]]
        placed[index] = row
    return tuple(placed)
