"""Charts: what an edition wants drawn, as a Vega-Lite specification and as a finished SVG.

Nothing is computed here; a chart places the figures that the view holds.  Altair and the chart
compiler take long to load, so they are imported when the first chart is asked for.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from dossier.charts.palette import DARK, LIGHT, Palette
from dossier.edition.figures import ENGLISH, AgainstTarget, Drawn, Figure

if TYPE_CHECKING:
    import altair as alt

    from dossier.charts.sheet import Sheet

__all__ = ["DARK", "HALF", "LIGHT", "Palette", "draw", "for_screen", "spec", "written"]

Medium = Literal["screen", "print"]
Draughtsman = Callable[[Any, "Sheet"], "alt.TopLevelLayerSpec"]

HALF = (AgainstTarget,)
"""What is drawn half as wide on paper: a few points, and there are many such pictures."""

VEGA_LITE = "6.4"
"""The grammar's version; Altair writes it and the compiler must be asked for the same."""


def spec(
    drawn: Drawn,
    palette: Palette,
    medium: Medium,
    signs: tuple[str, str] = ENGLISH,
    *,
    validate: bool = False,
) -> dict[str, Any]:
    """The Vega-Lite specification of a chart with all its data and no interaction.

    `signs` stand before the decimals and between the thousands of its lettering.

    `validate` holds it against the grammar, which the tests do and a build has no time for.

    Raises KeyError for a class that has no chart.
    """
    import altair as alt
    from altair.utils.schemapi import debug_mode

    from dossier.charts.sheet import sheet

    # Debug mode would check each layer when it is made, as if it were a whole specification.
    with debug_mode(False):
        half = medium == "print" and isinstance(drawn, HALF)
        chart = draughtsmen()[type(drawn)](drawn, sheet(palette, medium, signs, half=half))
        # Each layer leaves its rows here, under a name made of their hash.
        rows: dict[str, Any] = {}
        made = chart.to_dict(validate=validate, context={"top_level": False, "datasets": rows})
    datasets = {name: list(values) for name, values in rows.items()}
    return {"$schema": alt.SCHEMA_URL, **made, "datasets": datasets}


@lru_cache(maxsize=64)
def written(
    drawn: Drawn, palette: Palette, medium: Medium, signs: tuple[str, str] = ENGLISH
) -> str:
    """The specification as JSON, worked out once for a picture and for the chart gone into."""
    return json.dumps(spec(drawn, palette, medium, signs), ensure_ascii=False)


def draw(
    figures: Sequence[Figure], palette: Palette, medium: Medium, *, fonts: str | None = None
) -> dict[str, str]:
    """Each figure's SVG by its id, with its text alternative within.

    `fonts` is a directory with the theme's faces for the compiler to measure by; charts are laid
    out by estimates of their own, so that the bytes don't hang on it.

    The first chart of a process starts the compiler's JavaScript engine, so a process must not be
    forked after it.
    """
    import vl_convert

    from dossier.charts.svg import tidy

    if fonts:
        vl_convert.register_font_directory(fonts)
    drawn = {}
    for figure in figures:
        made = written(figure.drawn, palette, medium, figure.signs)
        raw = vl_convert.vegalite_to_svg(made, vl_version=VEGA_LITE, allowed_base_urls=[])
        drawn[figure.id] = tidy(raw, figure.alt, figure.id, sized=medium == "print")
    return drawn


def for_screen(svg: str, palette: Palette) -> str:
    """The SVG with custom properties for colours, to follow light and dark mode; not for print."""
    from dossier.charts.svg import for_screen as with_properties

    return with_properties(svg, palette)


def draughtsmen() -> dict[type[Any], Draughtsman]:
    """The chart of each class of drawable data."""
    from dossier.charts import ahead, along, cost, marks, room, season, target, tension, years
    from dossier.edition import figures

    return {
        figures.AlongCompass: along.chart,
        figures.ThroughYears: years.chart,
        figures.Ahead: ahead.chart,
        figures.RoomYear: room.chart,
        figures.SeasonAir: season.chart,
        figures.MarksPicture: marks.chart,
        figures.AgainstTarget: target.chart,
        figures.CostYears: cost.chart,
        figures.TensionAlong: tension.chart,
    }
