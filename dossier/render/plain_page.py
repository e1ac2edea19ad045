"""What elements look like on paper before any theme speaks, and no more than documents use.

WeasyPrint's own sheet gives each element six pseudo-elements and each page sixteen margin boxes,
and computes a style for all of them: a sixteenth of a document's time (measured).
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weasyprint import CSS, HTML
    from weasyprint.urls import URLFetcher

SHEET = """
head, link, meta, script, style, title { display: none }
html, body, address, blockquote, div, dl, dt, dd, figure, figcaption, h1, h2, h3, h4, h5, h6, hr,
ol, p, pre, section, ul { display: block }
li { display: list-item }
table { display: table }
caption { display: table-caption }
thead { display: table-header-group }
tbody { display: table-row-group }
tfoot { display: table-footer-group }
tr { display: table-row }
td, th { display: table-cell }

body { margin: 8px }
blockquote, dl, figure, ol, p, pre, ul { margin-top: 1em; margin-bottom: 1em }
ol ol, ol ul, ul ol, ul ul { margin-top: 0; margin-bottom: 0 }
h1 { margin-top: .67em; margin-bottom: .67em }
h2 { margin-top: .83em; margin-bottom: .83em }
h3 { margin-top: 1em; margin-bottom: 1em }
h4 { margin-top: 1.33em; margin-bottom: 1.33em }
h5 { margin-top: 1.67em; margin-bottom: 1.67em }
h6 { margin-top: 2.33em; margin-bottom: 2.33em }
blockquote, figure { margin-left: 40px; margin-right: 40px }
dd { margin-left: 40px }
ol, ul { padding-left: 40px }

table { border-spacing: 2px; box-sizing: border-box; text-indent: initial }
thead, tbody, tfoot { vertical-align: middle }
tr, td, th { vertical-align: inherit }
td, th { padding: 1px }
table, td, th { border-color: gray }
thead, tbody, tfoot, tr { border-color: inherit }

address, cite, dfn, em, i, var { font-style: italic }
b, strong, th, h1, h2, h3, h4, h5, h6 { font-weight: bold }
code, kbd, pre, samp { font-family: monospace }
h1 { font-size: 2em }
h2 { font-size: 1.5em }
h3 { font-size: 1.17em }
h5 { font-size: .83em }
h6 { font-size: .67em }
small, sub, sup { font-size: smaller }
sub, sup { line-height: normal }
sub { vertical-align: sub }
sup { vertical-align: super }
del, s { text-decoration: line-through }
a[href], ins, u { text-decoration: underline }
pre { white-space: pre }
hr { border-style: inset; border-width: 1px; color: gray; margin: .5em auto }
img, svg { overflow: hidden }
br::before { content: "\\A"; white-space: pre-line }

ol { list-style-type: decimal }
ul { list-style-type: disc }
ol ul, ul ul { list-style-type: circle }
ol ol ul, ol ul ul, ul ol ul, ul ul ul { list-style-type: square }
li::marker { font-variant-numeric: tabular-nums; white-space: pre; text-transform: none }
ol, ul { counter-reset: list-item; break-before: avoid }

h1 { bookmark-level: 1 }
h2 { bookmark-level: 2 }
h3 { bookmark-level: 3 }
h4 { bookmark-level: 4 }
h5 { bookmark-level: 5 }
h6 { bookmark-level: 6 }
h1, h2, h3, h4, h5, h6 { bookmark-label: content(text); hyphens: manual }
h1, h2, h3, h4, h5, h6 { break-after: avoid; break-inside: avoid }

@page { margin: 75px; @footnote { margin-top: 1em } }
"""


def plain_page(html: str, fetcher: URLFetcher) -> HTML:
    """The parsed page, whose elements look as SHEET says until another sheet is laid over it.

    A page that is well-formed XML, as the templates write it, is read in a twentieth of the time.
    """
    from cssselect2 import ElementWrapper
    from weasyprint import HTML

    class Plain(HTML):  # type: ignore[misc]
        def __init__(self, tree: ET.Element) -> None:
            self.base_url, self.url_fetcher, self.media_type = None, fetcher, "print"
            self.wrapper_element = ElementWrapper.from_html_root(tree, content_language=None)
            self.etree_element = tree

        def _ua_stylesheets(self, forms: bool = False) -> list[CSS]:  # noqa: ARG002
            return [_sheet()]

    return Plain(_tree(html))


def _tree(html: str) -> ET.Element:
    try:
        return ET.fromstring(html)  # noqa: S314  # our templates wrote it, and escaped all else
    except ET.ParseError:
        import tinyhtml5

        tree: ET.Element = tinyhtml5.parse(html, namespace_html_elements=False)
        return tree


@lru_cache(maxsize=1)
def _sheet() -> CSS:
    from weasyprint import CSS

    return CSS(string=SHEET)
