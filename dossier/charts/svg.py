"""Vega's SVG made lean, deterministic and fit to stand in a page.

What comes in was written by the chart compiler of this very process; nothing from outside.
"""

from __future__ import annotations

import re
from itertools import groupby, pairwise
from xml.etree import ElementTree as ET

from dossier.charts.palette import Palette, property_of, tokens

SVG = "http://www.w3.org/2000/svg"
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?", re.IGNORECASE)
STRETCH = re.compile(r"M[^A-Za-z]+(?:L[^A-Za-z]+)+Z?")
STRETCHES = re.compile(f"(?:{STRETCH.pattern})+")
MOVED = re.compile(rf"translate\({NUMBER.pattern},{NUMBER.pattern}\)", re.IGNORECASE)
REFERENCE = re.compile(r"url\(#([^)]+)\)")
# Within a tag only: a title may quote what it likes.
COLOUR = re.compile(r'\b(fill|stroke|stop-color)="(#[0-9a-fA-F]{6})"(?=[^<>]*>)')

ROUNDED = frozenset({
    "d", "transform", "x", "y", "x1", "x2", "y1", "y2", "width", "height", "viewBox", "font-size",
    "stroke-width", "stroke-dasharray",
})  # fmt: skip
NOISE = frozenset({
    "class", "pointer-events", "version", "style", "role", "aria-label", "aria-hidden",
    "aria-roledescription", "stroke-miterlimit",
})  # fmt: skip
FINE = frozenset({"stroke-width", "stroke-dasharray", "font-size"})
ENDS = frozenset({"x1", "x2", "y1", "y2"})
DEFAULTS = frozenset({("opacity", "1"), ("transform", "translate(0,0)"), ("stroke-width", "1")})
INHERITED = (
    "font-family", "font-size", "text-anchor", "fill", "fill-opacity", "stroke", "stroke-width",
    "stroke-dasharray",
)  # fmt: skip
FRAMES = frozenset({"background", "foreground"})


def tidy(raw: str, alt: str, figure: str, *, sized: bool) -> str:
    """The final SVG: a viewBox, `alt` as its title, ids that begin with `figure`.

    `sized` keeps width and height, for print; without them the picture fills its column.

    A title is the one text alternative that WeasyPrint takes over into a PDF.  Style attributes
    would be refused under a policy of `style-src 'self'`, so there are none.

    Raises xml.etree.ElementTree.ParseError for what isn't XML.
    """
    drawing = ET.fromstring(raw)  # noqa: S314  (the process's own compiler wrote it)
    _rename(drawing, figure)
    _prune(drawing)
    _hoist(drawing)
    _unwrap(drawing)
    kept = ("viewBox", "width", "height") if sized else ("viewBox",)
    frame = {name: drawing.get(name, "") for name in kept}
    root = ET.Element("svg", {"xmlns": SVG, **frame, "role": "img"})
    ET.SubElement(root, "title").text = alt
    root.extend(drawing)
    if sized:
        _join_lines(root)
    return ET.tostring(root, encoding="unicode")


def _rename(drawing: ET.Element, figure: str) -> None:
    """Ids count up in a process; here they are numbered within the figure and named after it."""
    named = [element for element in drawing.iter() if "id" in element.attrib]
    names = {
        element.attrib["id"]: f"{figure}-{number}" for number, element in enumerate(named, start=1)
    }
    for element in named:
        element.set("id", names[element.attrib["id"]])
    for element in drawing.iter():
        for name, value in element.attrib.items():
            element.set(name, REFERENCE.sub(lambda match: f"url(#{names[match[1]]})", value))


def _prune(element: ET.Element) -> None:
    """Take out what isn't seen or says nothing, from the leaves up."""
    for child in list(element):
        _prune(child)
        if _unseen(child):
            element.remove(child)
    element.tag = element.tag.removeprefix(f"{{{SVG}}}")
    for name, value in list(element.attrib.items()):
        short = _short(name, value)
        at_zero = element.tag == "line" and name in ENDS and short == "0"
        if (name in NOISE and name != "class") or (name, short) in DEFAULTS or at_zero:
            del element.attrib[name]
        else:
            element.set(name, short.removesuffix("px") if name == "font-size" else short)


def _unseen(element: ET.Element) -> bool:
    empty = element.tag == "g" and len(element) == 0
    frame = element.get("class") in FRAMES and not {"fill", "stroke"} & element.attrib.keys()
    return empty or frame or element.get("fill") == "transparent"


def _unwrap(element: ET.Element) -> None:
    """Drop the class names, and each group that then carries nothing."""
    element.attrib.pop("class", None)
    for child in list(element):
        _unwrap(child)
        if child.tag == "g" and not child.attrib:
            place = list(element).index(child)
            element[place : place + 1] = list(child)


def _join_lines(element: ET.Element) -> None:
    """Lines that follow each other and differ in their place only, as one path.

    On paper each element costs as much as a word.
    """
    for child in element:
        _join_lines(child)
    joined: list[ET.Element] = []
    for alike, run in groupby(element, _place_alone):
        lines = list(run)
        if alike and len(lines) > 1:
            lines = [ET.Element("path", {"d": "".join(map(_stroke, lines)), "fill": "none"})]
        joined += lines
    element[:] = joined


def _place_alone(element: ET.Element) -> bool:
    names = element.attrib.keys() - ENDS - {"transform"}
    return element.tag == "line" and not names and bool(MOVED.fullmatch(_moved(element)))


def _moved(line: ET.Element) -> str:
    return line.get("transform", "translate(0,0)")


def _stroke(line: ET.Element) -> str:
    left, top = (float(number) for number in NUMBER.findall(_moved(line)))
    ends = [float(line.get(name, "0")) for name in ("x1", "y1", "x2", "y2")]
    start = f"{_decimal(left + ends[0], 1)},{_decimal(top + ends[1], 1)}"
    return f"M{start}l{_decimal(ends[2] - ends[0], 1)},{_decimal(ends[3] - ends[1], 1)}"


def _short(name: str, value: str) -> str:
    """A value with no more decimals than are seen: a tenth of a pixel, a hundredth of a line's."""
    if name == "d" and STRETCHES.fullmatch(value):
        return STRETCH.sub(_stepwise, value)
    places = 2 if name in FINE else 1
    return NUMBER.sub(lambda m: _decimal(m[0], places), value) if name in ROUNDED else value


def _stepwise(stretch: re.Match[str]) -> str:
    """A line from point to point told by its steps, which are shorter to write than the places.

    The steps are between rounded places, so that what is lost of one is not lost of the next.
    """
    tenths = [round(float(number) * 10) for number in NUMBER.findall(stretch[0])]
    points = list(zip(tenths[::2], tenths[1::2], strict=True))
    steps = [
        f"{_decimal((x - left) / 10, 1)},{_decimal((y - top) / 10, 1)}"
        for (left, top), (x, y) in pairwise(points)
    ]
    start = ",".join(_decimal(place / 10, 1) for place in points[0])
    return f"M{start}l{' '.join(steps)}{'Z' if stretch[0].endswith('Z') else ''}"


def _decimal(number: str | float, places: int) -> str:
    value = round(float(number), places)
    return f"{value:.{places}f}".rstrip("0").rstrip(".") if value else "0"


def _hoist(element: ET.Element) -> None:
    """Write once on a group what all within it share."""
    children = list(element)
    for child in children:
        _hoist(child)
    if element.tag != "g":
        return
    for name in INHERITED:
        values = {child.get(name) for child in children}
        value = values.pop()
        if value is not None and not values:
            element.set(name, value)
            for child in children:
                del child.attrib[name]


def for_screen(svg: str, palette: Palette) -> str:
    """The SVG with each colour given by its custom property, so that it follows dark mode.

    A presentation attribute may hold `var()` and needs no permission to be inline.  Print must
    not get this one: WeasyPrint knows no custom properties within an SVG.
    """
    names = {colour: property_of(token) for token, colour in tokens(palette).items()}

    def named(match: re.Match[str]) -> str:
        name = names.get(match[2].lower())
        return f'{match[1]}="var({name})"' if name else match[0]

    return COLOUR.sub(named, svg)
