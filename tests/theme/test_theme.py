"""The theme: a shop's own files over the house's, and colours that can be read."""

import io
import re
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from fontTools.ttLib import TTFont

from dossier.render.assets import site_assets
from dossier.render.card import card
from dossier.theme import (
    Accent,
    Theme,
    accent,
    broken,
    colours,
    contrast,
    find_theme,
    pale,
    theme_of,
)
from dossier.words import load
from tests.render.sample_view import sender
from tests.render.test_card import CARD

EXAMPLE = Path(__file__).with_name("example")


@pytest.fixture(scope="module")
def theme() -> Theme:
    return find_theme()


def write(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def test_the_house_theme_has_its_fonts_with_their_licences(theme: Theme) -> None:
    fonts = {path for path in theme.files if path.endswith(".woff2")}
    assert len(fonts) == 10
    for path in fonts:
        assert len(theme.files[path]) < 21_000
        assert path.replace("-more", "").replace(".woff2", ".ttf") in theme.files
    for licence in ("OFL-dossier-text.txt", "OFL-dossier-figures.txt", "licence-accidentals.txt"):
        assert "Open Font License" in theme.text(f"fonts/{licence}") or "OFL-1.1" in theme.text(
            f"fonts/{licence}"
        )


def test_a_shop_replaces_one_file_and_keeps_the_others(theme: Theme, tmp_path: Path) -> None:
    own = find_theme(
        write(tmp_path, {"screen/base.css": "/* ours */", ".swp": "x", "screen/.hidden": "x"})
    )
    assert own.text("screen/base.css") == "/* ours */"
    assert own.text("screen/parts.css") == theme.text("screen/parts.css")
    assert own.files.keys() == theme.files.keys()
    assert own.digest != theme.digest
    assert own.added == ()


def test_a_file_that_replaces_none_is_named(tmp_path: Path) -> None:
    own = find_theme(write(tmp_path, {"templates/instrumnt.html": "", "screen/own.css": ""}))
    assert own.added == ("screen/own.css", "templates/instrumnt.html")


def test_without_a_folder_of_its_own_a_shop_has_the_house_theme(
    theme: Theme, tmp_path: Path
) -> None:
    assert find_theme(tmp_path / "theme") == theme
    assert hash(find_theme()) == hash(theme)


def test_a_digest_tells_where_one_file_ends_and_the_next_begins() -> None:
    assert theme_of({"a": b"bc"}).digest != theme_of({"ab": b"c"}).digest
    assert theme_of({"a": b"1", "b": b"2"}) == theme_of({"b": b"2", "a": b"1"})


# WCAG 2.2: black on white is 21:1. #767676 is the lightest grey that passes on white, from memory.
def test_contrast_follows_the_definition() -> None:
    assert contrast("#000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_all_text_can_be_read_on_every_ground_by_day_and_by_night(theme: Theme) -> None:
    assert pale(theme) == pale(find_theme(EXAMPLE)) == ()
    for tokens in colours(theme).values():
        assert contrast(tokens["on_stop"], tokens["stop_ground"]) >= 4.5
        # WCAG 2.2, 1.4.11: what is needed to understand a shape
        assert contrast(tokens["edge"], tokens["paper"]) >= 3.0


def test_a_dark_colour_is_taken_and_lightened_for_the_night(theme: Theme) -> None:
    taken, reason = accent(theme, "#2F5D50")
    assert reason == ""
    assert taken.light == "#2f5d50"
    for ground in ("paper", "sheet", "wash"):
        assert contrast(taken.dark, colours(theme)["dark"][ground]) >= 7.0
    assert accent(theme, "#123")[0].light == "#112233"


def test_a_pale_colour_gives_way_with_a_reason(theme: Theme) -> None:
    taken, reason = accent(theme, "#e0b040")
    assert taken == Accent(colours(theme)["light"]["accent"], colours(theme)["dark"]["accent"])
    assert reason == (
        "#e0b040 has a contrast of 1.6 to 1 on the page, and text needs 4.5; "
        "the theme's own colour is used: take a darker one"
    )


def test_what_is_no_colour_is_named(theme: Theme) -> None:
    assert accent(theme, "green")[1] == (
        "“green” is no colour such as #2f5d50; the theme's own is used"
    )
    assert accent(theme, "")[1] == ""


def test_a_token_that_is_no_colour_stops_the_theme(theme: Theme) -> None:
    text = theme.text("colours.toml").replace('"#f7f2e8"', '"url(x)"')
    broken = theme_of({**theme.files, "colours.toml": text.encode()})
    with pytest.raises(ValueError, match=r"^colours.toml: \[light\] paper is no colour such as"):
        colours(broken)


def test_a_theme_whose_text_cannot_be_read_is_told_so(theme: Theme) -> None:
    text = theme.text("colours.toml").replace('soft = "#5d5447"', 'soft = "#9d9487"')
    faint = pale(theme_of({**theme.files, "colours.toml": text.encode()}))
    assert faint[0] == (
        "colours.toml: [light] soft on paper has a contrast of 2.7 to 1, and text needs 4.5"
    )
    assert len(faint) == 4


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('edge = "#85785f"', "", "[light] edge is missing"),
        ("[dark]", "[night]", "[dark] is missing"),
        ('ink = "#221d17"', 'ink = "black"', "[light] ink is no colour such as #2f5d50"),
        (
            "[light]",
            "[light",
            "Expected ']' at the end of a table declaration (at line 4, column 7)",
        ),
    ],
)
def test_what_is_wrong_with_a_table_of_colours_is_said(
    theme: Theme, old: str, new: str, fault: str
) -> None:
    assert broken(theme) == ""
    text = theme.text("colours.toml").replace(old, new, 1)
    files = {**theme.files, "colours.toml": text.encode()}
    assert broken(theme_of(files)) == f"colours.toml: {fault}"


def test_the_example_changes_colours_a_rule_and_the_card_and_nothing_else(theme: Theme) -> None:
    own = find_theme(EXAMPLE)
    changed = {path for path in own.files if own.files[path] != theme.files.get(path)}
    assert changed == {"colours.toml", "print/card.css", "screen/own.css"}
    assert own.added == ("screen/own.css",)
    files = site_assets(own, sender())
    (style,) = (data.decode() for path, data in files.items() if path.endswith(".css"))
    assert "--paper: #f2f4f5;" in style
    assert style.rstrip().endswith("border-bottom-style: dotted;\n  }\n}")
    page = pypdf.PdfReader(io.BytesIO(card(CARD, load("en-GB"), own))).pages[0]
    assert [round(float(side) / 72 * 25.4) for side in page.mediabox[2:]] == [91, 65]


def test_a_face_holds_all_signs_in_its_two_files_and_none_twice(theme: Theme) -> None:
    sheet = theme.text("screen/fonts.css")
    for path in sorted(path for path in theme.files if path.endswith(".ttf")):
        packed = [path.replace(".ttf", f"{part}.woff2") for part in ("", "-more")]
        whole, first, more = (
            set(TTFont(BytesIO(theme.files[name])).getBestCmap()) for name in (path, *packed)
        )
        assert first | more == whole
        assert not first & more
        ranges = re.search(rf"{Path(path).stem}.woff2.*?unicode-range: ([^;]+);", sheet, re.DOTALL)
        assert ranges
        named = [part.strip().removeprefix("U+").partition("-") for part in ranges[1].split(",")]
        for sign in whole:
            inside = any(int(low, 16) <= sign <= int(high or low, 16) for low, _, high in named)
            assert inside == (sign in first), hex(sign)
