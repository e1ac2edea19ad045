"""The same chart for a reader who goes into it: each figure said, and a stretch of it seen closer.

The picture is the one that stands on the page, drawn from the same specification; what is added
is a text at each figure and an axis whose two ends can be moved.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from dossier.charts.lettering import MOVES
from dossier.charts.palette import LIGHT, property_of, tokens
from dossier.edition.figures import CostYears, Drawn, Figure, SeasonAir
from dossier.quantities import Formatter, key_name

Node = dict[str, Any]

LEAST_KEYS, LEAST_DAYS = 12, 60
"""How close a reader can go: an octave, and two months."""
_DAY_MS = 86_400_000


def charts(figures: Sequence[Figure], form: Formatter) -> dict[str, str]:
    """Each figure's chart by its id, as JSON."""
    return {
        figure.id: json.dumps(_chart(figure, form), ensure_ascii=False, separators=(",", ":"))
        for figure in figures
    }


def script(charts: Mapping[str, str]) -> bytes:
    """A page's charts as a script that hands them to the page's own one.

    A script and not data, since a page that was opened from a folder may load nothing else.
    """
    told = ",".join(f"{json.dumps(name, ensure_ascii=False)}:{charts[name]}" for name in charts)
    return f"dossierCharts({{{told}}});\n".encode()


def _chart(figure: Figure, form: Formatter) -> Node:
    from dossier.charts import written

    drawn = figure.drawn
    made: Node = json.loads(written(drawn, LIGHT, "screen", figure.signs))
    _say(made, drawn, form)
    stretch = _stretch(made, drawn, form)
    if stretch:
        _loosen(made, stretch)
    return {"spec": _coloured(made), "stretch": stretch}


def _say(made: Node, drawn: Drawn, form: Formatter) -> None:
    from dossier.charts.readout import said

    for rows in made["datasets"].values():
        for place, row in enumerate(rows):
            if text := said(row, drawn, form):
                rows[place] = {**row, "said": text}


def _stretch(made: Node, drawn: Drawn, form: Formatter) -> Node | None:
    """The axis that can be moved: its ends, its ticks and names, and how near one may come."""
    from dossier.charts.axes import named

    axis = next((x["x"] for x in _encodings(made) if "axis" in x["x"]), None)
    if axis is None or isinstance(drawn, SeasonAir | CostYears):
        return None
    start, end = axis["scale"]["domain"]
    ends: Node = {"from": start, "to": end}
    if axis["type"] == "temporal":
        names = named(axis["axis"]["labelExpr"])
        months = [form.month_name(month, short=True) for month in range(1, 13)]
        least = min(LEAST_DAYS * _DAY_MS, end - start)
        return {**ends, "kind": "days", "least": least, "names": names, "months": months}
    names = {str(key): key_name(key) for key in range(start + 1, end)}
    return {**ends, "kind": "keys", "least": min(LEAST_KEYS, end - start), "names": names}


def _loosen(made: Node, stretch: Node) -> None:
    """Let the ends, the ticks and their names be given by whoever looks.

    What is lettered at a place of the whole axis vanishes where only a stretch of it is shown.
    """
    days = stretch["kind"] == "days"
    axis = next(x["x"]["axis"] for x in _encodings(made) if "axis" in x["x"])
    made["params"] = [
        {"name": "lower", "value": stretch["from"]},
        {"name": "upper", "value": stretch["to"]},
        {"name": "near", "value": False},
        {"name": "ticks", "value": axis["values"]},
        {"name": "names", "value": stretch["names"]},
    ]
    name = "names[time(datum.value)]" if days else "names[datum.value]"
    # One layer says where the ends are, and the others follow: said twice, they would be joined.
    # A layer of spans says all twice.
    encodings = tuple(_encodings(made))
    leader = next((one for one in encodings if "x2" not in one), encodings[0])
    ends = [{"expr": "lower"}, {"expr": "upper"}]
    for encoding in encodings:
        x = encoding["x"] = {**encoding["x"]}
        bare = {key: value for key, value in x["scale"].items() if key != "domain"}
        x["scale"] = {**bare, "domain": ends} if encoding is leader else bare
        if "axis" in x:
            x["axis"] = {**x["axis"], "values": {"expr": "ticks"}, "labelExpr": name}
    for layer in _layers(made):
        mark, x = layer["mark"], layer["encoding"].get("x", {})
        if mark.get("description") == MOVES:
            layer["mark"] = {**mark, "opacity": {"expr": "near ? 0 : 1"}}
        elif "field" in x and x.get("scale", {}) is not None:
            layer["mark"] = {**mark, "clip": {"expr": "near"}}


def _layers(node: Node) -> Iterator[Node]:
    """The layers that hold a mark, however deep."""
    if "mark" in node:
        yield node
    for inner in node.get("layer", ()):
        yield from _layers(inner)


def _encodings(made: Node) -> Iterator[Node]:
    """The encodings of the layers that stand on the axis from left to right."""
    for layer in _layers(made):
        scale = layer["encoding"].get("x", {}).get("scale")
        if scale and all(isinstance(end, int) for end in scale["domain"]):
            yield layer["encoding"]


def _coloured(node: Any) -> Any:
    """The specification with each colour of the palette given by its custom property."""
    if isinstance(node, dict):
        return {name: _coloured(value) for name, value in node.items()}
    if isinstance(node, list | tuple):
        return [_coloured(value) for value in node]
    return _PROPERTIES.get(node, node) if isinstance(node, str) else node


_PROPERTIES = {colour: f"var({property_of(token)})" for token, colour in tokens(LIGHT).items()}
