"""The drawing of a life: time in order, room for a finger, nothing cut, no two words on another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from itertools import combinations, pairwise
from math import hypot
from xml.etree import ElementTree as ET

import pytest

from dossier.charts import LIGHT, for_screen
from dossier.charts.life import APART, NARROW, PAPER, WIDE, Scale, draw_life, scale_of
from dossier.edition.figures import LifeMark, LifePicture, LifeSpan

SVG = "{http://www.w3.org/2000/svg}"
SIZES = pytest.mark.parametrize("width", [NARROW, WIDE])


def visited(years: range, each: int = 1) -> Iterator[LifeMark]:
    for year in years:
        for turn in range(each):
            day = date(year, 1 + turn * 5, 9)
            yield LifeMark(day, "visit", "Tuning", f"{day}: Tuning", f"visit-{day}")


def picture(visits: tuple[LifeMark, ...], spans: tuple[LifeSpan, ...] = ()) -> LifePicture:
    origins = tuple(
        LifeMark(date(year, 1, 1), "origin", f"{year}: {what}", f"{year}: {what}")
        for year, what in ((1912, "Made"), (1912, "Bought"), (1986, "Given to a school & kept"))
    )
    marks = (*origins, *visits)
    return LifePicture("life", "t", "s", "a", visits[0].when, visits[-1].when, marks, spans, (), ())


OLD = picture(
    tuple(visited(range(1990, 2027), each=2)),
    tuple(
        LifeSpan(
            "problem", f"A long sentence about problem {n}", f"Problem {n}",
            ((date(1990 + n, 3, 1), date(1991 + n, 3, 1) if n % 3 else None),), "visit-1",
        )
        for n in range(0, 36, 4)
    ),
)  # fmt: skip


def drawn(of: LifePicture, width: float, *, links: bool = True) -> ET.Element:
    return ET.fromstring(draw_life(of, LIGHT, width, links=links))  # noqa: S314


def test_years_before_the_notes_are_close_and_the_years_of_the_notes_even() -> None:
    scale = scale_of(OLD, 10, 290)
    assert scale.even == pytest.approx(10 + 0.3 * 280)
    assert scale.at(date(1912, 1, 1)) == 10
    places = [scale.at(date(year, 1, 9)) for year in range(1990, 2027)]
    steps = [right - left for left, right in pairwise(places)]
    assert max(steps) - min(steps) < 0.25
    # Seventy-four years take some nine times less room than they would.
    assert scale.at(date(1986, 1, 1)) - 10 < 0.3 * 280


def test_a_young_instrument_has_one_even_scale() -> None:
    young = LifePicture(
        "life", "t", "s", "a", date(2020, 1, 1), date(2026, 1, 1),
        (LifeMark(date(2019, 1, 1), "origin", "Made", "Made"),), (), (), (),
    )  # fmt: skip
    scale = scale_of(young, 0, 700)
    assert scale == Scale(scale.knots, 0)
    assert len(scale.knots) == 2


@SIZES
def test_a_finger_meets_one_visit_alone(width: float) -> None:
    """WCAG 2.2, 2.5.8: circles of 24 px around the middles of targets don't meet."""
    circles = [
        (float(one.attrib["cx"]), float(one.attrib["cy"]))
        for one in drawn(OLD, width).iter(f"{SVG}circle")
        if one.get("class") == "reach"
    ]
    assert len(circles) == 74
    near = min(hypot(a - c, b - d) for (a, b), (c, d) in combinations(circles, 2))
    assert near >= APART - 0.11  # places are rounded to a tenth


@SIZES
def test_every_visit_and_every_bar_is_a_link_with_a_name(width: float) -> None:
    links = list(drawn(OLD, width).iter(f"{SVG}a"))
    assert len(links) == 74 + 9
    assert all(link.attrib["href"].startswith("#visit-") for link in links)
    assert all(link.attrib["aria-label"] == link[0].text for link in links)


@SIZES
def test_nothing_stands_outside_of_the_drawing(width: float) -> None:
    root = drawn(OLD, width)
    high = float(root.attrib["viewBox"].split()[3])
    for text in root.iter(f"{SVG}text"):
        assert 0 <= float(text.attrib["x"]) <= width
        assert 8 <= float(text.attrib["y"]) <= high


def test_what_a_note_says_can_not_leave_its_place() -> None:
    bad = LifeSpan("problem", "<script>", '"><script>', ((date(1995, 1, 1), None),), "visit-1")
    text = draw_life(picture(tuple(visited(range(1990, 1999))), (bad,)), LIGHT, WIDE, links=True)
    assert "<script" not in text
    assert "Given to a school &amp; kept" in text


def test_on_paper_there_is_no_link_and_on_a_screen_every_colour_follows_the_light() -> None:
    paper = draw_life(OLD, LIGHT, PAPER, links=False)
    assert "<a " not in paper
    assert 'width="604"' in paper
    screen = for_screen(draw_life(OLD, LIGHT, WIDE, links=True), LIGHT)
    assert re.findall(r'(?:fill|stroke)="#', screen) == []


def test_the_same_life_gives_the_same_drawing() -> None:
    assert draw_life(OLD, LIGHT, WIDE, links=True) == draw_life(OLD, LIGHT, WIDE, links=True)
