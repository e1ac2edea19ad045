"""A note's prose on a page: its marks, and nothing that runs, fetches or leads astray."""

import pytest

from dossier.render.markdown import Picture, Surroundings, to_html, to_text

PINS = Picture("../oak/pins-900.jpg", 900, 600, "../oak/pins.jpg")
VISIT = Surroundings(below=3, pictures={"pins.jpg": PINS, "a b.jpg": PINS}, table_word="Table")
SHOWN = (
    '<a href="../oak/pins.jpg" rel="noreferrer"><img src="../oak/pins-900.jpg" alt="the pins" '
    'width="900" height="600" loading="lazy" /></a>'
)


def line(text: str) -> str:
    """A single paragraph's inside."""
    html = to_html(text, VISIT)
    assert html.startswith("<p>")
    assert html.endswith("</p>\n")
    return html[3:-5]


@pytest.mark.parametrize(
    ("note", "shown"),
    [
        ("[the maker](https://a.example/?b=1&c=2)",
         '<a href="https://a.example/?b=1&amp;c=2" rel="noreferrer">the maker</a>'),
        ("[write](mailto:a@b.example)",
         '<a href="mailto:a@b.example" rel="noreferrer">write</a>'),
        ("[ring](tel:+15550142)", '<a href="tel:+15550142" rel="noreferrer">ring</a>'),
        ("<https://a.example>",
         '<a href="https://a.example" rel="noreferrer">https://a.example</a>'),
        ("[pins](pins.jpg)", '<a href="../oak/pins.jpg" rel="noreferrer">pins</a>'),
        ("[x](javascript:alert(1))", "x"),
        ("[x](JaVaScRiPt:alert(1))", "x"),
        ("[x](file:///etc/passwd)", "x"),
        ("[x](data:text/html,hi)", "x"),
        ("[x](http://a.example)", "x"),
        ("[x](//a.example)", "x"),
        ("[x](https:a.example)", "x"),
        ("[x](https:///path)", "x"),
        ("[x](../other/index.html)", "x"),
        ("[x](#visit-2026-03-14)", "x"),
        ("[**bold** and *fine*](javascript:1)", "<strong>bold</strong> and <em>fine</em>"),
    ],
)  # fmt: skip
def test_a_link_leads_abroad_by_a_known_scheme_or_is_its_words(note: str, shown: str) -> None:
    assert line(note) == shown


@pytest.mark.parametrize(
    ("note", "shown"),
    [
        ("![the pins](pins.jpg)", SHOWN),
        ("![the pins](a%20b.jpg 'a title')", SHOWN),
        ("![far](https://a.example/x.png)",
         '<a href="https://a.example/x.png" rel="noreferrer">far</a>'),
        ("![](https://a.example/x.png)",
         '<a href="https://a.example/x.png" rel="noreferrer">https://a.example/x.png</a>'),
        ("![far](//a.example/x.png)", "far"),
        ("![here](data:image/png;base64,AAAA)", "here"),
        ("![here](blob:x)", "here"),
        ("![lost](unknown.jpg)", "lost"),
        ("[![far](https://a.example/x.png)](https://b.example)",
         '<a href="https://b.example" rel="noreferrer">far</a>'),
    ],
)  # fmt: skip
def test_only_the_notes_own_pictures_are_shown(note: str, shown: str) -> None:
    assert line(note) == shown


def test_html_in_a_note_is_shown_as_it_was_written() -> None:
    assert to_html("<script>alert(1)</script>\n\na <b>b</b> &copy;", VISIT) == (
        "<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>\n<p>a &lt;b&gt;b&lt;/b&gt; ©</p>\n"
    )


def test_headings_go_on_below_the_visits_own_without_a_gap() -> None:
    note = "# One\n## Two\n#### Far below\n###### Deepest\n## Two again\n"
    assert to_html(note, VISIT) == (
        "<h4>One</h4>\n<h5>Two</h5>\n<h6>Far below</h6>\n<h6>Deepest</h6>\n<h5>Two again</h5>\n"
    )
    about = Surroundings(below=2, pictures={}, table_word="Table")
    assert to_html("### The plate\n", about) == "<h3>The plate</h3>\n"


def test_a_table_scrolls_in_a_box_of_its_own_and_needs_no_style() -> None:
    html = to_html("| key | torque |\n|---|--:|\n| A4 | ~~4.5~~ |\n", VISIT)
    assert html.startswith(
        '<div class="table-wrap" tabindex="0" role="group" aria-label="Table">\n<table>'
    )
    assert html.endswith("</table>\n</div>\n")
    assert '<th scope="col">key</th>\n<th class="num" scope="col">torque</th>' in html
    assert '<td class="num"><s>4.5</s></td>' in html
    assert "style" not in html


def test_a_passage_in_plain_words() -> None:
    note = (
        "# The bass\nWell *again*,\n[see](https://a.example).\n\n- one\n- `two`\n\n![pins](p.jpg)"
    )
    assert to_text(note) == "The bass Well again, see. one two pins"
