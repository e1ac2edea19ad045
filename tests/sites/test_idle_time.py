"""What is done while workers make instruments is done once, and is what is asked for after."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from dossier.charts import engine
from dossier.render import html
from dossier.sites.cache import Cache, key_for
from dossier.sites.fronts import drawing
from dossier.sites.jobs import make_all
from dossier.sites.workers import processes
from dossier.store import key_of
from tests.build.small_shop import TODAY, VISIT, Shop, small_shop
from tests.publish.shop import files


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)


def counted(work: Callable[..., Any], times: list[str]) -> Callable[..., Any]:
    def counting(*given: Any, **named: Any) -> Any:
        times.append(work.__name__)
        return work(*given, **named)

    return counting


def test_a_first_page_that_was_drawn_ahead_is_the_one_that_is_published(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.good()
    shop.says(VISIT, "A4 -6", "A4 -7")
    drawn: list[str] = []
    with monkeypatch.context() as patch:
        patch.setattr(html, "client_page", counted(html.client_page, drawn))
        shop.good()
    assert drawn == ["client_page"], "the school has two instruments, the Marshes one"
    school = shop.out / "public" / shop.tokens()["school"]
    before = files(school)
    (school / "index.html").unlink()
    shop.good()
    assert files(school) == before


def test_what_a_worker_put_together_for_browsers_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[str] = []

    def engine_of_a_test() -> bytes:
        return b"draw();"

    monkeypatch.setattr(engine, "engine", counted(engine_of_a_test, made))
    errand = pickle.loads(pickle.dumps(partial(drawing, Cache(tmp_path))))  # noqa: S301  # our own
    cache = Cache(tmp_path)
    assert errand() == drawing(cache)
    cache.sweep(())
    assert [*drawing(Cache(tmp_path)).values()] == [b"draw();"]
    assert made == ["engine_of_a_test"]


def test_a_sweep_keeps_what_was_made_though_this_build_never_asked_for_it(shop: Shop) -> None:
    folder = shop.root / "cache"
    keys = {key_for(job): job for job in shop.jobs(pdf=False)}
    make_all(keys, Cache(folder), processes(1), lambda *_: None)
    kept, gone = list(keys)[:2], list(keys)[2]
    cache = Cache(folder)
    assert cache.made(kept[0], TODAY)
    cache.sweep(kept)
    again = Cache(folder)
    assert again.made(gone, TODAY) is None
    there = [one for one in (again.made(key, TODAY) for key in kept) if one is not None]
    assert len(there) == len(kept)
    held = [content for one in there for content in (*one.owner.values(), *one.bench.values())]
    assert {path.replace("/", "") for path in cache.store.paths()} == set(map(key_of, held))
