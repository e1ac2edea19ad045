"""The files that all pages share: named by their bytes, and each named file there."""

import re
from dataclasses import replace

import pytest

from dossier.charts import palette
from dossier.render.assets import hashed, sheets, site_assets, stylesheet
from dossier.theme import Theme, find_theme, theme_of
from tests.render import sample_view


@pytest.fixture(scope="module")
def theme() -> Theme:
    return find_theme()


def style(theme: Theme, accent: str = "#2f5d50") -> str:
    shop = replace(sample_view.sender(), accent=accent)
    return site_assets(theme, shop)[stylesheet(theme, shop)].decode()


def test_every_file_is_named_by_its_bytes(theme: Theme) -> None:
    files = site_assets(theme, sample_view.sender())
    assert sorted(path.rpartition(".")[2] for path in files) == ["css", "svg"] + ["woff2"] * 10
    for path, data in files.items():
        stem, ending = re.fullmatch(r"(assets/[a-z-]+)-[0-9a-f]{10}(\.\w+)", path, 0).groups()  # type: ignore[union-attr]
        assert hashed(stem + ending, data) == path


def test_the_style_sheet_finds_its_fonts_beside_it(theme: Theme) -> None:
    named = re.findall(r'url\("([^"]+)"\)', style(theme))
    files = site_assets(theme, sample_view.sender())
    assert len(named) == 10
    assert {f"assets/{name}" for name in named} < files.keys()


def test_the_style_sheet_asks_for_nothing_elsewhere(theme: Theme) -> None:
    assert re.findall(r"@import|https?:|//[a-z]", style(theme)) == []


def test_a_shops_colour_gives_the_sheet_another_name(theme: Theme) -> None:
    shop = sample_view.sender()
    assert stylesheet(theme, shop) != stylesheet(theme, replace(shop, accent="#41306b"))
    assert "--accent: #41306b;" in style(theme, "#41306b")


def test_a_chart_has_its_colours_by_day_and_by_night(theme: Theme) -> None:
    text = style(theme)
    day, night = text.split("prefers-color-scheme: dark", 1)
    for drawn, part in ((palette.LIGHT, day), (palette.DARK, night)):
        for part_of_chart, value in palette.tokens(drawn).items():
            if part_of_chart != "ground":
                assert f"{palette.property_of(part_of_chart)}: {value};" in part
    assert "--chart-ground: #fffdf8;" in day


def test_a_sheet_of_the_shops_own_comes_last(theme: Theme) -> None:
    own = theme_of({**theme.files, "screen/own.css": b"h1 { color: purple }"})
    assert sheets(own)[-1] == "screen/own.css"
    assert style(own).endswith("h1 { color: purple }")
