"""The demo's statements for a buyer and an insurer, as a browser and other checkers see them."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page

from dossier.sites.issue import IssueRequest, issue
from tests.browser.chromium import served
from tests.browser.test_pages import DESK, PHONE, Noise, look, open_page, overhang
from tests.site.test_valid_html import findings

pytestmark = pytest.mark.browser

Axe = Callable[[Page], tuple[str, ...]]
ISSUED = (("curlew", "sale"), ("swan", "appraisal"))


@pytest.fixture(scope="module")
def statements(tmp_path_factory: pytest.TempPathFactory, repo: Path) -> tuple[Path, ...]:
    """The folders of the statements, issued once."""
    base = tmp_path_factory.mktemp("statements")
    folders = []
    for instrument, edition in ISSUED:
        outcome = issue(
            IssueRequest(
                repo / "content", base / "out", base / "state", date(2026, 11, 25), instrument,
                edition,
            )
        )  # fmt: skip
        assert outcome.folder is not None
        folders.append(outcome.folder)
    return tuple(folders)


@pytest.fixture(scope="module")
def origins(statements: tuple[Path, ...]) -> Iterator[tuple[str, ...]]:
    with served(statements[0]) as sale, served(statements[1]) as appraisal:
        yield sale, appraisal


@pytest.mark.parametrize(
    ("size", "scheme", "medium"),
    [
        pytest.param(DESK, "light", "screen", id="light"),
        pytest.param(DESK, "dark", "screen", id="dark"),
        pytest.param(PHONE, "light", "screen", id="320 px"),
        pytest.param(DESK, "light", "print", id="print"),
    ],
)
def test_nothing_is_found_fault_with(
    page: Page,
    axe: Axe,
    origins: tuple[str, ...],
    size: tuple[int, int],
    scheme: str,
    medium: str,
) -> None:
    for origin in origins:
        noise = Noise(page, origin)
        open_page(page, f"{origin}/index.html")
        look(page, size, scheme, medium)
        assert axe(page) == ()
        assert overhang(page) == []
        assert noise.heard == []
        assert noise.requests > 3


def test_the_pages_are_valid_html(statements: tuple[Path, ...]) -> None:
    for folder in statements:
        assert findings(folder, ("index.html",)) == []


def test_the_documents_are_whole_and_tagged(statements: tuple[Path, ...]) -> None:
    """A subset of PDF/UA only: 12 checks of the standard's 106 (pdfua's own count)."""
    from pdfua import validate

    for folder in statements:
        path = folder / "statement.pdf"
        run = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
        assert (run.returncode, run.stderr) == (0, "")
        report = validate(str(path))
        assert report.findings == ()
        assert len(report.skipped) <= 1
