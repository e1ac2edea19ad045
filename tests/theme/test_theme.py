"""The theme: a shop's own files over the house's, and colours that can be read."""

from pathlib import Path

import pytest

from dossier.theme import Accent, Theme, accent, colours, contrast, find_theme, theme_of

TEXT = ("ink", "soft", "accent", "good", "attention", "stop", "bench")
GROUNDS = ("paper", "sheet", "wash", "bench_wash")


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
    assert len(fonts) == 5
    for path in fonts:
        assert len(theme.files[path]) < 45_000
        assert path.replace(".woff2", ".ttf") in theme.files
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
    pale = [
        f"{ground}: {text} on {under}: {contrast(tokens[text], tokens[under]):.2f}"
        for ground, tokens in colours(theme).items()
        for text in TEXT
        for under in GROUNDS
        if contrast(tokens[text], tokens[under]) < 4.5
    ]
    assert pale == []
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
