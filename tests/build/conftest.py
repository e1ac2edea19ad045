"""A small shop in a folder of its own."""

from pathlib import Path

import pytest

from tests.build.small_shop import Shop, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)
