"""The colours of charts by the part that they play, for light and dark ground.

Colour is never the only difference: shape, fill, dash or a word beside the mark tells the same.
Lightness differs too, so that a grey print still reads.  A theme gives each token to the browser
as a custom property named by `property_of`; print gets the hexadecimal value itself, since an SVG
in a PDF knows no custom properties.
"""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Palette:
    """One hexadecimal colour (#rrggbb, lower case) a part; no two parts share one.

    `ground` is the page behind the chart and fills hollow marks; `band` is a comfort or target
    range; `found` and `left` are pitch before and after the work; `accent` is the measured air;
    `warn` is what is still open; `series1` to `series3` go from the strongest to the faintest.
    """

    ink: str
    muted: str
    rule: str
    ground: str
    found: str
    left: str
    band: str
    accent: str
    warn: str
    series1: str
    series2: str
    series3: str


LIGHT = Palette(
    ink="#221f1b",
    muted="#736d62",
    rule="#d9d3c8",
    ground="#ffffff",
    found="#c4660a",
    left="#1b4f8f",
    band="#dcebe2",
    accent="#0f766e",
    warn="#5e0f3c",
    series1="#24476b",
    series2="#4f8fa8",
    series3="#d8b365",
)

DARK = Palette(
    ink="#ece5d8",
    muted="#938a79",
    rule="#443c31",
    ground="#1f1b16",
    found="#f0a04b",
    left="#6198e2",
    band="#2a3f35",
    accent="#4fc3b4",
    warn="#ffc4dc",
    series1="#a9cdf0",
    series2="#5b93b5",
    series3="#86692d",
)


def property_of(token: str) -> str:
    """The CSS custom property of a part: "found" gives "--chart-found"."""
    return f"--chart-{token}"


def tokens(palette: Palette) -> dict[str, str]:
    """The parts and their colours, in the order in which they are declared."""
    return {field.name: getattr(palette, field.name) for field in fields(palette)}
