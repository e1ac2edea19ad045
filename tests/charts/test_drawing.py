"""The finished pictures: lean, the same each time, and fit to stand in a page under its policy."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from dossier import charts
from dossier.charts.palette import tokens
from dossier.charts.svg import SVG, tidy
from dossier.edition.figures import Figure
from tests.charts import samples

FIGURES = [samples.figure(name, drawn) for name, drawn in samples.SAMPLES]
NAMES = [name for name, _ in samples.SAMPLES]


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314


@pytest.fixture(scope="module")
def screen() -> dict[str, str]:
    return charts.draw(FIGURES, charts.LIGHT, "screen")


@pytest.fixture(scope="module")
def paper() -> dict[str, str]:
    return charts.draw(FIGURES, charts.LIGHT, "print")


@pytest.mark.parametrize("figure", FIGURES, ids=NAMES)
def test_the_title_is_the_text_alternative_and_stands_first(
    figure: Figure, screen: dict[str, str]
) -> None:
    root = parsed(screen[figure.id])
    assert root.get("role") == "img"
    assert root[0].tag == "{http://www.w3.org/2000/svg}title"
    assert root[0].text == figure.alt


@pytest.mark.parametrize("figure", FIGURES, ids=NAMES)
def test_a_picture_carries_nothing_that_a_page_would_refuse(
    figure: Figure, screen: dict[str, str], paper: dict[str, str]
) -> None:
    for svg in (screen[figure.id], paper[figure.id]):
        root = parsed(svg)
        names = {name for element in root.iter() for name in element.attrib}
        tags = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert tags <= {"svg", "title", "g", "path", "line", "rect", "text"}
        assert not {name for name in names if name.startswith(("aria", "on")) or ":" in name}
        assert not names & {"style", "class", "href"}
        assert root.findall(".//*[@role]") == []
        assert "url(" not in svg
        assert "NaN" not in svg
        assert "undefined" not in svg
        assert "null" not in svg


@pytest.mark.parametrize("figure", FIGURES, ids=NAMES)
def test_numbers_have_two_decimals_at_most(figure: Figure, screen: dict[str, str]) -> None:
    svg = re.sub(r">[^<]*<", "><", screen[figure.id])
    assert re.findall(r"\.\d{3,}", svg) == []


@pytest.mark.parametrize("figure", FIGURES, ids=NAMES)
def test_lettering_stays_within_the_sheet(figure: Figure, screen: dict[str, str]) -> None:
    """Places are absolute: every group is only moved, never turned or scaled."""
    root = parsed(screen[figure.id])
    assert "rotate" not in screen[figure.id]
    _, _, wide, high = (float(each) for each in root.get("viewBox", "").split())
    texts = list(placed_texts(root, 0.0, 0.0, "start"))
    assert texts
    for text, anchor, x, y, length in texts:
        left = x - {"start": 0.0, "middle": length / 2, "end": length}[anchor]
        assert left >= -1, text
        assert left + length <= wide + 1, text
        assert 8 <= y <= high, text


def placed_texts(
    element: ET.Element, x: float, y: float, anchor: str
) -> list[tuple[str, str, float, float, float]]:
    """Each text with its anchor, its place on the sheet and its width, as estimated."""
    from dossier.charts import lettering

    moved = re.fullmatch(r"translate\(([^,]+),([^)]+)\)", element.get("transform", ""))
    if moved:
        x, y = x + float(moved[1]), y + float(moved[2])
    anchor = element.get("text-anchor", anchor)
    if element.tag.endswith("}text"):
        text = element.text or ""
        return [(text, anchor, x, y, lettering.width(text, 13.4))]
    return [found for child in element for found in placed_texts(child, x, y, anchor)]


def test_numbers_have_the_signs_of_the_locale(screen: dict[str, str]) -> None:
    german = [replace(one, signs=(",", ".")) for one in FIGURES]
    drawn = charts.draw(german, charts.LIGHT, "screen")
    for figure in FIGURES:
        texts, theirs = (
            re.findall(r">([^<>]+)</text>", each[figure.id]) for each in (screen, drawn)
        )
        turned = str.maketrans(".,", ",.")
        assert theirs == [
            text.translate(turned) if re.fullmatch(r"[+−]?[\d.,]+", text) else text
            for text in texts
        ]
    assert "10,5" in drawn["target"]


def test_a_minus_is_a_minus(screen: dict[str, str]) -> None:
    texts = re.findall(r">([^<>]+)</text>", screen["along-far"])
    assert "−200" in texts
    assert [text for text in texts if re.match(r"-\d", text)] == []


def test_a_rise_has_its_sign_and_zero_has_none(screen: dict[str, str]) -> None:
    texts = re.findall(r">([^<>]+)</text>", screen["along-zero"])
    assert {"+2", "0", "−2"} <= set(texts)
    assert not {"+0", "−0"} & set(texts)


def test_print_has_the_width_of_its_column_and_the_screen_none(
    screen: dict[str, str], paper: dict[str, str]
) -> None:
    assert parsed(paper["along"]).get("width") == "604"
    assert parsed(screen["along"]).get("width") is None
    assert parsed(screen["along"]).get("viewBox", "").startswith("0 0 420 ")


def test_no_byte_hangs_on_the_fonts_of_a_machine(paper: dict[str, str], repo: Path) -> None:
    measured = charts.draw(FIGURES, charts.LIGHT, "print", fonts=str(repo / "themes/default/fonts"))
    assert measured == paper


def test_paper_is_white_whatever_the_screen_is() -> None:
    figure = samples.figure("marks", samples.MARKS)
    svg = charts.draw([figure], charts.DARK, "print")["marks"]
    assert charts.DARK.ground not in svg
    assert "#ffffff" in svg


def test_on_screen_every_colour_follows_the_page(screen: dict[str, str]) -> None:
    used = set()
    for svg in screen.values():
        followed = charts.for_screen(svg, charts.LIGHT)
        assert re.findall(r'="#[0-9a-f]{6}"', followed) == []
        used |= set(re.findall(r"var\(--chart-([a-z0-9]+)\)", followed))
    assert used == set(tokens(charts.LIGHT))


def test_a_colour_in_a_text_is_left_alone() -> None:
    svg = f'<svg><title>fill="{charts.LIGHT.ink}"</title><path fill="{charts.LIGHT.ink}"/></svg>'
    assert charts.for_screen(svg, charts.LIGHT) == (
        '<svg><title>fill="#221f1b"</title><path fill="var(--chart-ink)"/></svg>'
    )


@pytest.mark.slow
def test_two_processes_draw_the_same_bytes(screen: dict[str, str], repo: Path) -> None:
    """In another order, with other hashes, in another time zone, and after other charts."""
    program = (
        "import hashlib\n"
        "from dossier import charts\n"
        "from tests.charts import samples\n"
        "drawn = [samples.figure(n, d) for n, d in reversed(samples.SAMPLES)]\n"
        "for name, svg in charts.draw(drawn, charts.LIGHT, 'screen').items():\n"
        "    print(name, hashlib.sha256(svg.encode()).hexdigest())\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", program],
        cwd=repo,
        env={"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland", "LANG": "C", "HOME": "/nowhere"},
        capture_output=True,
        text=True,
        check=True,
    )
    there = dict(line.split() for line in run.stdout.splitlines())
    here = {name: hashlib.sha256(svg.encode()).hexdigest() for name, svg in screen.items()}
    assert there == here


def test_a_line_through_many_points_is_told_by_its_steps() -> None:
    """Steps are between rounded places: a hundred of 0.14 end where the line ended."""
    points = "".join(f"L{n * 0.14:.2f},{n * 2}" for n in range(1, 101))
    drawn = (f"M0,0{points}", "M1.26,2L3,4.05L5,1Z", "M0,0L9,9M4,4L2,3L5,1Z")
    raw = "<svg>" + "".join(f'<path d="{path}"/>' for path in drawn) + "</svg>"
    line, area, stroke = (
        str(path.get("d")) for path in parsed(tidy(raw, "", "x", sized=False))[1:]
    )
    steps = [[float(n) for n in step.split(",")] for step in line.removeprefix("M0,0l").split(" ")]
    assert [round(sum(way), 1) for way in zip(*steps, strict=True)] == [14.0, 200.0]
    assert (area, stroke) == ("M1.3,2l1.7,2 2,-3Z", "M0,0l9,9M4,4l-2,-1 3,-2Z")


def test_an_end_of_a_line_at_nought_needs_no_words_and_that_of_a_gradient_does() -> None:
    raw = '<svg><line x2="376.04" y2="0"/><linearGradient x1="0" x2="0" y2="1"/></svg>'
    line, gradient = list(parsed(tidy(raw, "", "x", sized=False)))[1:]
    assert line.attrib == {"x2": "376"}
    assert gradient.attrib == {"x1": "0", "x2": "0", "y2": "1"}


def test_on_paper_lines_that_differ_in_their_place_only_are_one_path() -> None:
    line = '<line transform="translate({},{})" x2="{}" y2="{}"/>'
    alike = line.format(0, 10, 50, 0) + line.format(0, 20.5, 50, 0)
    raw = (
        f'<svg xmlns="{SVG}" viewBox="0 0 60 60" width="60" height="60"><g stroke="#000000">'
        f'{alike}<text>between</text><line x1="5" y1="6" x2="7" y2="8"/></g></svg>'
    )
    joined = '<path d="M0,10l50,0M0,20.5l50,0" fill="none" /><text>between</text><line '
    assert joined in tidy(raw, "lines", "one", sized=True)
    assert tidy(raw, "lines", "one", sized=False).count("<line ") == 3
