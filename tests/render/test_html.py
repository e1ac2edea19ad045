"""Pages of HTML: strict, escaped to the last field, without script or style, and well built."""

import base64
import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pytest
from jinja2 import TemplateSyntaxError, UndefinedError

from dossier.edition.view import Table, ToDo
from dossier.render import lost
from dossier.render.beside import Beside, PictureFile
from dossier.render.html import (
    PARTS,
    POLICY,
    WITH_SCRIPTS,
    PageError,
    bench_due,
    bench_index,
    bench_open,
    client_page,
    compiled,
    environment,
    instrument_page,
    not_found,
)
from dossier.sites import fronts
from dossier.tasks import loaded
from dossier.theme import Theme, find_theme, theme_of
from dossier.words import load
from tests.render import sample_view

WORDS = load("en-GB")
THEME = find_theme()
CHART = '<svg viewBox="0 0 4 4"><path d="M0 0h4" stroke="var(--chart-ink)"/></svg>'
CHARTS = {figure.id: CHART for figure in sample_view.bench_figures()}
PICTURES = {
    name: PictureFile(f"alder-upright/{name}", 900, 600, f"alder-upright/large-{name}")
    for name in ("front.jpg", "pins.jpg")
}
AROUND = Beside(
    "All pianos",
    "alder-upright/dossier.pdf",
    "alder-upright/visits.ics",
    tables="alder-upright/",
    charts="alder-upright/charts-0123456789.js",
    engine="../assets/charts-1.js",
)


def owner(theme: Theme = THEME) -> bytes:
    return instrument_page(sample_view.owner_view(), CHARTS, PICTURES, WORDS, theme, beside=AROUND)


PAGES: dict[str, Callable[[], bytes]] = {
    "owner": owner,
    "sale": lambda: instrument_page(sample_view.sale_view(), CHARTS, PICTURES, WORDS, THEME),
    "bare": lambda: instrument_page(sample_view.bare_view(), {}, {}, WORDS, THEME, root=""),
    "bench": lambda: instrument_page(sample_view.bench_view(), CHARTS, PICTURES, WORDS, THEME),
    "client": lambda: client_page(sample_view.client_view(), {}, WORDS, THEME),
    "index": lambda: bench_index(sample_view.bench_index(), WORDS, THEME),
    "due": lambda: bench_due(sample_view.bench_index(), WORDS, THEME),
    "open": lambda: bench_open(sample_view.bench_index(), WORDS, THEME),
    "not found": lambda: not_found(sample_view.sender(), WORDS, THEME),
}
LOST_POLICY = POLICY.replace("style-src 'self'", f"style-src {lost.SOURCE}")
# Elements without an end tag (HTML Standard, 13.1.2, void elements)
VOID = {"meta", "link", "img", "br", "hr", "wbr", "input", "col", "area", "base", "embed", "source"}


class Page(HTMLParser):
    """A page's elements with their attributes, its text, and its tags' balance."""

    def __init__(self, html: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.words = ""
        self.open: list[str] = []
        self.feed(html.decode())
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data

    def all(self, *tags: str) -> list[dict[str, str]]:
        return [attributes for tag, attributes in self.elements if tag in tags]


@pytest.fixture(params=PAGES)
def html(request: pytest.FixtureRequest) -> bytes:
    return PAGES[request.param]()


@pytest.fixture
def page(html: bytes) -> Page:
    return Page(html)


def test_a_page_is_built_as_readers_of_all_kinds_need_it(page: Page) -> None:
    assert page.open == []
    assert page.all("html") == [{"lang": "en-GB"}]
    assert [len(page.all(tag)) for tag in ("title", "h1", "main", "header")] == [1, 1, 1, 1]
    levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.all("a")[0] == {"class": "skip", "href": "#content"}


def test_every_name_stands_once_and_every_anchor_is_there(page: Page) -> None:
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    asked = [
        name
        for _, attributes in page.elements
        for key, value in attributes.items()
        for name in (value[1:],) * (key == "href" and value.startswith("#"))
        + tuple(value.split()) * (key == "aria-labelledby")
    ]
    assert asked
    assert set(asked) <= set(ids)


def test_pictures_and_tables_speak(page: Page) -> None:
    assert all("alt" in image and "width" in image for image in page.all("img"))
    assert all("scope" in header for header in page.all("th"))
    assert len(page.all("table")) == len(page.all("caption"))
    for _, attributes in page.elements:
        if attributes.get("role") in {"img", "group"}:
            assert attributes.get("aria-label") or attributes.get("aria-labelledby")


def test_a_page_brings_no_script_of_its_own_writing_and_no_style(page: Page) -> None:
    assert page.all("iframe", "object", "form") == []
    assert len(page.all("style")) == int("not-found" in page.all("body")[0]["class"])
    for script in page.all("script"):
        assert re.fullmatch(r"(\.\./)?assets/[a-z]+-[0-9a-f]{10}\.js", script.pop("src"))
        assert script == {"defer": ""}
    for _, attributes in page.elements:
        assert not [name for name in attributes if name == "style" or name.startswith("on")]


def test_a_page_says_what_a_browser_may_do(page: Page) -> None:
    metas = {
        meta.get("name") or meta.get("http-equiv"): meta["content"]
        for meta in page.all("meta")
        if "content" in meta
    }
    lost = "not-found" in page.all("body")[0]["class"]
    plain = WITH_SCRIPTS if page.all("script") else POLICY
    assert metas["Content-Security-Policy"] == (LOST_POLICY if lost else plain)
    assert metas["robots"] == "noindex, nofollow, noarchive"
    assert metas["referrer"] == "no-referrer"


def test_the_one_style_within_a_page_is_the_one_that_its_policy_lets_pass() -> None:
    html = not_found(sample_view.sender(), WORDS, THEME).decode()
    style = html.partition("<style>")[2].partition("</style>")[0]
    found = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src &#39;sha256-{found}&#39;;" in html
    assert LOST_POLICY not in owner().decode()


def test_all_parts_of_a_page_have_a_template_and_a_heading() -> None:
    names = {part.id for part in PARTS}
    assert {f"templates/parts/{name}.html" for name in names} <= THEME.files.keys()
    contents = [a["href"] for a in Page(owner()).all("a") if a["href"][1:] in names]
    assert contents == [f"#{part.id}" for part in PARTS]


def test_the_first_words_are_the_state_the_next_date_and_what_to_do() -> None:
    view = sample_view.owner_view()
    words = Page(owner()).words
    answers = (view.unsafe, view.state, view.next_text, *(todo.text for todo in view.todos))
    places = [words.index(answer) for answer in answers]
    assert places == sorted(places)
    assert places[-1] < words.index("On this page") < words.index("At a glance")


def test_the_bench_page_opens_with_how_to_get_in() -> None:
    words = Page(PAGES["bench"]()).words
    order = ("Side gate, code 4410", "Remarks", "Unsafe", "Last figures", "The damper of G4 buzzes",
             "To check today", "The way to the pitch", "Private link", "On this page")  # fmt: skip
    places = [words.index(text) for text in order]
    assert places == sorted(places)
    assert "instruments/alder-upright/visits/2026-03-14.md:1" in words
    assert words.count("Bench only") == 3


def test_a_visit_can_be_linked_to() -> None:
    page = Page(owner())
    visits = [a["id"] for a in page.all("article")]
    assert visits == [visit.anchor for visit in sample_view.owner_view().visits]
    assert visits[0] == "visit-2026-03-14"


def test_addresses_lead_from_the_clients_root() -> None:
    page = Page(owner())
    sheets = [link["href"] for link in page.all("link") if link["rel"] == "stylesheet"]
    assert [sheet.startswith("../assets/site-") for sheet in sheets] == [True]
    image = page.all("img")[0]
    assert image["src"] == "../alder-upright/front.jpg"
    hrefs = [a["href"] for a in page.all("a")]
    assert "../alder-upright/large-front.jpg" in hrefs
    assert "../alder-upright/dossier.pdf" in hrefs
    assert "../index.html" in hrefs
    assert "tel:+15550142" in hrefs


def test_an_address_that_could_run_is_only_words() -> None:
    view = sample_view.owner_view()
    shop = replace(view.sender, web="javascript:alert(1)", email="a@b.example?cc=c")
    html = instrument_page(replace(view, sender=shop), {}, {}, WORDS, THEME)
    hrefs = [a["href"] for a in Page(html).all("a")]
    assert "mailto:a@b.example%3Fcc%3Dc" in hrefs
    assert not [href for href in hrefs if "javascript" in href]
    assert "javascript:alert(1)" in Page(html).words


PAYLOAD = "<script>alert({n})</script>\"'><img src=x onerror=alert({n})>&amp;"
# What a template looks up in a list of its own
FIXED = {"state_level"}


def poisoned(value: Any, numbers: Iterator[int], name: str = "") -> Any:
    """The view with a payload of its own in every str field."""
    if is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: poisoned(getattr(value, f.name), numbers, f.name) for f in fields(value)}
        return replace(value, **changed)
    if isinstance(value, tuple):
        return tuple(poisoned(item, numbers, name) for item in value)
    if isinstance(value, str) and name not in FIXED:
        return PAYLOAD.replace("{n}", str(next(numbers)))
    return value


def strings(value: Any) -> Iterator[str]:
    if is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from strings(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from strings(item)
    elif isinstance(value, str):
        yield value


@pytest.mark.parametrize(
    ("view", "render", "least"),
    [
        (sample_view.owner_view(), instrument_page, 500),
        (sample_view.bench_view(), instrument_page, 550),
        (sample_view.client_view(), None, 20),
        (sample_view.bench_index(), bench_index, 40),
        (sample_view.bench_index(), bench_due, 15),
        (sample_view.bench_index(), bench_open, 15),
    ],
)
def test_whatever_a_note_holds_stays_words(view: Any, render: Any, least: int) -> None:
    view = poisoned(view, iter(range(10_000, 20_000)))
    pictures = dict.fromkeys(strings(view), PICTURES["front.jpg"])
    if render is instrument_page:
        html = instrument_page(view, {}, pictures, WORDS, THEME)
    elif render is None:
        html = client_page(view, pictures, WORDS, THEME)
    else:
        html = render(view, WORDS, THEME)
    page = Page(html)
    own = re.compile(r"assets/sift-[0-9a-f]{10}\.js")
    assert not [one for one in page.all("script") if not own.fullmatch(one.get("src", ""))]
    assert all("onerror" not in attributes for _, attributes in page.elements)
    assert all(image["src"] == "../alder-upright/front.jpg" for image in page.all("img")) or (
        render is None
    )
    said = page.words + " ".join(value for _, a in page.elements for value in a.values())
    assert len(set(re.findall(r"<script>alert\((\d+)\)</script>", said))) >= least


def test_a_name_that_isnt_there_stops_the_page() -> None:
    files = {**THEME.files, "templates/parts/care.html": b"{{ view.cares }}"}
    with pytest.raises(UndefinedError, match="has no attribute 'cares'"):
        owner(theme_of(files))


def test_a_value_that_is_none_stops_the_page() -> None:
    files = {**THEME.files, "templates/parts/care.html": b"{{ view.bench }}"}
    with pytest.raises(PageError, match=r"^a template asked for a value that is None$"):
        owner(theme_of(files))


@pytest.mark.parametrize(
    ("svg", "found"),
    [
        ('<svg><g style="fill:red"/></svg>', "<g style="),
        ("<svg onload='x()'/>", "<svg onload="),
        ("<svg><script>1</script></svg>", "<script"),
        ("<svg><foreignObject/></svg>", "<foreignObject"),
    ],
)
def test_a_chart_with_what_the_policy_forbids_stops_the_page(svg: str, found: str) -> None:
    with pytest.raises(PageError) as caught:
        instrument_page(sample_view.owner_view(), {"pitch-years": svg}, {}, WORDS, THEME)
    assert str(caught.value) == (
        f"the chart pitch-years holds “{found}”, which a page's policy forbids"
    )


def test_a_figure_without_a_chart_keeps_its_sentence_and_its_table() -> None:
    html = instrument_page(sample_view.owner_view(), {}, {}, WORDS, THEME).decode()
    assert "chart" not in [a.get("class") for _, a in Page(html.encode()).elements]
    assert 'id="table-pitch-years"' in html


def test_a_column_that_says_nothing_is_left_out_of_a_table() -> None:
    view = sample_view.owner_view()
    table = Table(
        "Pitch by register",
        ("Register", "As found", "As left"),
        (("Bass", "−2", ""),),
        (False,) * 3,
    )
    drawn = replace(view.pitch_figures[0], table=table)
    html = instrument_page(replace(view, pitch_figures=(drawn,)), {}, {}, WORDS, THEME).decode()
    shown = html.partition("Pitch by register</caption>")[2].partition("</table>")[0]
    assert re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", shown) == ["Register", "As found", "Bass", "−2"]


@pytest.mark.parametrize(("figures", "drawn"), [(2, 0), (3, 1)])
def test_one_or_two_measured_figures_are_told_and_not_drawn(figures: int, drawn: int) -> None:
    view = sample_view.owner_view()
    (measured,) = view.measured_figures
    few = replace(measured, table=replace(measured.table, rows=measured.table.rows[:1] * figures))
    page = instrument_page(
        replace(view, measured_figures=(few,)), {few.id: "<svg></svg>"}, {}, WORDS, THEME
    )
    charts = [a for _, a in Page(page).elements if a.get("class") == "chart"]
    assert len(charts) == drawn
    assert f'id="table-{few.id}"' in page.decode()


def test_what_must_be_read_first_is_no_task_as_well() -> None:
    view = sample_view.owner_view()
    todo = ToDo(view.unsafe, "For safety.")
    page = instrument_page(replace(view, todos=(todo,)), {}, {}, WORDS, THEME)
    assert "For you to do" not in Page(page).words
    assert Page(page).words.count(view.unsafe) == 1


def test_a_visits_day_stands_once_above_its_work() -> None:
    view = sample_view.owner_view()
    lines = tuple(replace(line, target="visit-2026-03-14") for line in view.work[:2])
    page = instrument_page(replace(view, work=lines), {}, {}, WORDS, THEME).decode()
    assert len(lines) == 2
    assert page.count('class="ledger-when"') == 1


@pytest.mark.parametrize(
    ("kind", "text", "shown"),
    [
        ("Tuning", "", "Tuning"),
        ("Tuning", "Tuning, unisons only", "Tuning, unisons only"),
        ("Repair", "New felt", '<span class="label">Repair</span> New felt'),
    ],
)
def test_a_piece_of_work_names_its_kind_once(kind: str, text: str, shown: str) -> None:
    view = sample_view.owner_view()
    line = replace(view.work[0], kind=kind, text=text, detail="")
    page = instrument_page(replace(view, work=(line,)), {}, {}, WORDS, THEME).decode()
    assert f'<p class="ledger-what">{shown}' in page


def test_the_poorest_grades_are_the_ones_that_stand_out() -> None:
    style = THEME.text("screen/parts.css")
    assert ".rank-1 .grade {\n    color: var(--stop);" in style
    assert ".rank-5" not in style


def test_a_shops_own_template_replaces_just_one() -> None:
    files = {**THEME.files, "templates/parts/care.html": b"<p>Ask us.</p>\n"}
    own, house = owner(theme_of(files)).decode(), owner().decode()
    assert "<p>Ask us.</p>" in own
    assert "Keep the humidity steady" in house
    care = re.compile(r"(What you can do for it</h2>\n).*?(\n</section>)", re.DOTALL)
    assert own == care.sub(r"\1<p>Ask us.</p>\2", house)


def test_what_is_compiled_beforehand_is_there() -> None:
    names = environment(THEME).list_templates()
    assert set(names) >= fronts._PAGES
    told = [name for name in names if loaded._PAGES.fullmatch(name)]
    assert {"instrument.html", "bench-instrument.html", "parts/visits.html"} <= set(told)


def test_a_template_that_cannot_be_compiled_is_told_where_it_is_used() -> None:
    broken = theme_of({**THEME.files, "templates/404.html": b"{% if %}"})
    compiled(broken, lambda _: True)
    with pytest.raises(TemplateSyntaxError):
        not_found(sample_view.sender(), WORDS, broken)


def test_templates_are_compiled_once_a_theme() -> None:
    assert environment(THEME) is environment(find_theme())


def test_the_same_view_gives_the_same_bytes() -> None:
    assert owner() == owner()


def test_every_fixed_word_passes_through_the_catalogue() -> None:
    """What is left of a template without its tags and its pages' class names has no letters."""
    jinja = re.compile(
        r"\{% block kind %\}.*?\{% endblock %\}|\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", re.DOTALL
    )
    left = {}
    for path in THEME.files:
        if path.startswith("templates/"):
            left[path] = re.findall(
                r"\w+", re.sub(r"<[^<>]*>", "", jinja.sub("", THEME.text(path)))
            )
    assert len(left) > 20
    assert {path: words for path, words in left.items() if words} == {}
