"""The demo shop, read once."""

from datetime import date
from pathlib import Path

import pytest

from dossier.model import Notebook
from dossier.read import open_folder, read_sources

DEMO_TODAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def demo(repo: Path) -> Notebook:
    notebook, _ = read_sources(open_folder(repo / "content"), DEMO_TODAY)
    assert notebook is not None
    return notebook
