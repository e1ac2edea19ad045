"""A build that is broken off anywhere, and a reader who never looks away."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from dossier import untouched
from dossier.publish import disk
from dossier.publish.state import State, load_state
from dossier.publish.trouble import PublishError
from tests.publish.shop import SPARE, TOKENS, Shop, files

# All that changes a disk; what pathlib and shutil do goes through these.
STEPS = (
    "chmod", "fchmod", "fsync", "link", "mkdir", "rename", "replace", "rmdir", "unlink", "write",
)  # fmt: skip
OLD, NEW = "The damper of D4 buzzes.", "The damper of D4 is eased."


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


@pytest.fixture(autouse=True)
def quick_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Waiting for the disk a thousand times would prove nothing here, nor for the clock's tick."""
    monkeypatch.setattr(untouched, "_TICK", -1)
    monkeypatch.setattr(os, "fsync", lambda _: None)


@contextmanager
def breaking(step: int, how: Callable[[], None]) -> Iterator[list[str]]:
    """Do `how` instead of the step of that number; yields the names of the steps so far."""
    done: list[str] = []

    def counted(name: str, call: Callable[..., object]) -> Callable[..., object]:
        def instead(*args: object, **named: object) -> object:
            done.append(name)
            if len(done) - 1 == step:
                how()
            return call(*args, **named)

        return instead

    with pytest.MonkeyPatch.context() as patch:
        for name in STEPS:
            patch.setattr(os, name, counted(name, getattr(os, name)))
        patch.setattr(disk, "exchange", counted("exchange", disk.exchange))
        yield done


def full() -> None:
    raise OSError(28, "No space left on device")


def interrupted() -> None:
    raise KeyboardInterrupt


def killed() -> None:
    os._exit(9)


def steps_of(shop: Shop) -> list[str]:
    with breaking(-1, full) as done:
        shop.published()
    assert {"write", "link", "fsync", "exchange"} <= set(done)
    return list(done)


def trees(shop: Shop) -> dict[str, dict[str, bytes]]:
    return {name: files(shop.places.out / name) for name in ("bench", "public")}


def standing(shop: Shop, text: str) -> dict[str, dict[str, bytes]]:
    """The trees once that text is published."""
    shop.write(text)
    shop.published()
    return trees(shop)


def ready(shop: Shop, *, spare: bool) -> None:
    """With the spare trees that a build leaves, or as after one that was broken off."""
    assert (shop.places.out / SPARE).is_dir()
    if not spare:
        shutil.rmtree(shop.places.out / SPARE)


def in_a_child(run: Callable[[], object]) -> int:
    child = os.fork()
    if not child:
        try:
            run()
        finally:
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.mark.parametrize("how", [full, interrupted])
@pytest.mark.parametrize("spare", [True, False])
def test_a_build_that_fails_at_any_step_leaves_each_tree_whole(
    shop: Shop, how: Callable[[], None], *, spare: bool
) -> None:
    old = standing(shop, OLD)
    ready(shop, spare=spare)
    shop.write(NEW)
    steps = steps_of(shop)
    new = trees(shop)
    swapped = 0
    for step in range(len(steps)):
        standing(shop, NEW)
        assert standing(shop, OLD) == old
        ready(shop, spare=spare)
        shop.write(NEW)
        with breaking(step, how), suppress(PublishError, KeyboardInterrupt):
            shop.publish()
        now = trees(shop)
        assert now["bench"] in (old["bench"], new["bench"]), (step, steps[step])
        assert now["public"] in (old["public"], new["public"]), (step, steps[step])
        assert now["bench"] == new["bench"] or now["public"] == old["public"], (
            "the public came first"
        )
        swapped += now == new
        assert load_state(shop.places.state, shop.places.out) == (shop.state, ())
    assert 0 < swapped < len(steps)
    assert standing(shop, NEW) == new
    assert not (shop.places.out / ".dossier-staging").exists()


@pytest.mark.parametrize("spare", [True, False])
def test_a_build_that_is_killed_at_any_step_leaves_each_tree_whole(
    shop: Shop, *, spare: bool
) -> None:
    old = standing(shop, OLD)
    ready(shop, spare=spare)
    shop.write(NEW)
    steps = steps_of(shop)
    new = trees(shop)
    for step in range(len(steps)):
        standing(shop, NEW)
        assert standing(shop, OLD) == old
        ready(shop, spare=spare)
        shop.write(NEW)
        with breaking(step, killed):
            assert in_a_child(shop.publish) == 9
        now = trees(shop)
        assert now["bench"] in (old["bench"], new["bench"]), (step, steps[step])
        assert now["public"] in (old["public"], new["public"]), (step, steps[step])
        assert load_state(shop.places.state, shop.places.out) == (shop.state, ())
    assert standing(shop, NEW) == new
    beside = {path.name for path in shop.places.out.iterdir()}
    assert beside - {SPARE} == {"bench", "headers", "public"}


def disk_steps(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What a build waits for, and its swaps, in order; staged files by where they will stand."""
    done: list[str] = []
    exchange = disk.exchange

    def noted_sync(path: Path) -> None:
        done.append(path.relative_to(shop.places.out).as_posix())

    def noted_all(paths: Collection[Path], _: Path) -> None:
        for path in paths:
            noted_sync(path)

    def noted_exchange(one: Path, other: Path) -> bool:
        done.append(f"swap {other.name}")
        return exchange(one, other)

    with monkeypatch.context() as patch:
        patch.setattr(disk, "sync", noted_sync)
        patch.setattr(disk, "sync_all", noted_all)
        patch.setattr(disk, "exchange", noted_exchange)
        shop.published()
    return [step.removeprefix(".dossier-staging/") for step in done]


def test_all_that_is_new_is_on_the_disk_before_it_is_swapped_in(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    standing(shop, OLD)
    shutil.rmtree(shop.places.out / SPARE)
    shop.write(NEW)
    done = disk_steps(shop, monkeypatch)
    swaps = done.index("swap bench")
    assert done[swaps : swaps + 4] == ["swap bench", ".", "swap public", "."]
    written = {
        path
        for path, data in files(shop.places.out).items()
        if path.startswith(("bench", "public")) and (data == b"(folder)" or NEW.encode() in data)
    }
    assert len(written) == 14
    assert written <= set(done[:swaps])
    assert done[0] == ".", "the spare tree had another name before anything was written in it"


def test_a_build_with_a_spare_waits_for_what_changed_alone(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    standing(shop, OLD)
    shop.bench["heron/index.html"] = NEW.encode()
    assert disk_steps(shop, monkeypatch) == [
        ".",
        "bench/heron/index.html",
        "bench/heron",
        ".dossier-staging",
        "swap bench",
        ".",
        "bench/heron",
        ".dossier-staging",
    ]


def test_what_was_withdrawn_is_in_no_spare_tree(shop: Shop) -> None:
    standing(shop, OLD)
    del shop.sites["marlpit"]
    shop.state = State(links=tuple(one for one in shop.state.links if one.target != "marlpit"))
    shop.published()
    assert (shop.places.out / SPARE / "public" / TOKENS["thornsay-school"]).is_dir()
    assert not (shop.places.out / SPARE / "public" / TOKENS["marlpit"]).exists()


def test_the_spare_tree_of_a_killed_build_is_cleared_though_nothing_changed_since(
    shop: Shop,
) -> None:
    standing(shop, OLD)
    shop.write(NEW)
    with breaking(-1, full) as steps:
        shop.published()
    end = len(steps) - 1 - steps[::-1].index("exchange")
    for step in range(end, len(steps)):
        standing(shop, OLD)
        shop.write(NEW)
        with breaking(step, killed):
            assert in_a_child(shop.publish) == 9
        shop.published()
        assert not (shop.places.out / ".dossier-staging").exists()
        hidden = files(shop.places.out / SPARE)
        assert not any(OLD.encode() in data for data in hidden.values()), (step, steps[step])


def _stranger(spare: Path) -> None:
    (spare / "public" / "mine.txt").write_text("My holiday")


def _other_bytes(spare: Path) -> None:
    page = spare / "bench" / "index.html"
    page.unlink()
    page.write_bytes(NEW.encode())


def _foreign_tree(spare: Path) -> None:
    (spare / "before-public" / "secret").mkdir(parents=True)
    (spare / "before-public" / "secret" / "index.html").write_bytes(OLD.encode())
    spare.chmod(0o755)


def _file_for_a_folder(spare: Path) -> None:
    shutil.rmtree(spare / "bench" / "heron")
    (spare / "bench" / "heron").touch()


def _folder_for_a_file(spare: Path) -> None:
    (spare / "bench" / "index.html").unlink()
    (spare / "bench" / "index.html" / "deep").mkdir(parents=True)


def _open_to_all(spare: Path) -> None:
    (spare / "bench" / "heron").chmod(0o777)


def _led_elsewhere(spare: Path) -> None:
    shutil.move(spare / "bench", spare.parent.parent / "elsewhere")
    (spare / "bench").symlink_to(spare.parent.parent / "elsewhere")


def _all_led_elsewhere(spare: Path) -> None:
    shutil.move(spare, spare.parent.parent / "elsewhere")
    spare.symlink_to(spare.parent.parent / "elsewhere")


@pytest.mark.parametrize(
    "spoil",
    [
        shutil.rmtree,
        _stranger,
        _other_bytes,
        _foreign_tree,
        _file_for_a_folder,
        _folder_for_a_file,
        _open_to_all,
        _led_elsewhere,
        _all_led_elsewhere,
    ],
)
def test_whatever_became_of_the_spare_trees_the_same_is_published(
    shop: Shop, tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    clean = Shop(tmp_path / "clean")
    clean.write(NEW)
    clean.published()
    standing(shop, OLD)
    spoil(shop.places.out / SPARE)
    elsewhere = files(tmp_path / "elsewhere")
    shop.write(NEW)
    shop.published()
    assert trees(shop) == trees(clean)
    assert {path.stat().st_mode for path in (shop.places.out / "bench").rglob("*/")} == {0o40700}
    assert files(tmp_path / "elsewhere") == elsewhere, "a link in the place of a tree was followed"


def test_a_disk_without_links_has_no_spare(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", lambda *_: Path("/").readlink())
    standing(shop, OLD)
    new = standing(shop, NEW)
    assert {path.name for path in shop.places.out.iterdir()} == {"bench", "headers", "public"}
    assert standing(shop, NEW) == new


def test_a_first_build_that_is_killed_publishes_nothing_or_all(tmp_path: Path) -> None:
    model = Shop(tmp_path / "model")
    with breaking(-1, full) as steps:
        model.published()
    for step in range(len(steps)):
        shop = Shop(tmp_path / str(step))
        with breaking(step, killed):
            assert in_a_child(shop.publish) == 9
        assert files(shop.public) in ({}, files(model.public)), (step, steps[step])
        if shop.public.exists():
            assert load_state(shop.places.state, shop.places.out) == (shop.state, ())
        shop.published()
        assert trees(shop) == trees(model)


def test_without_an_exchange_the_old_tree_comes_back_after_a_crash(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "exchange", lambda *_: False)
    old = standing(shop, OLD)
    new = standing(shop, NEW)
    assert standing(shop, OLD) == old
    shop.write(NEW)
    with breaking(-1, full) as steps:
        shop.published()
    absent = 0
    for step in range(len(steps)):
        standing(shop, NEW)
        standing(shop, OLD)  # twice, for the spare trees to be there again
        shop.write(NEW)
        with breaking(step, killed):
            assert in_a_child(shop.publish) == 9
        absent += not shop.public.exists()
        disk.clear(shop.places.out, ("bench", "public"))
        now = trees(shop)
        assert now["bench"] in (old["bench"], new["bench"]), (step, steps[step])
        assert now["public"] in (old["public"], new["public"]), (step, steps[step])
    assert absent, "no crash fell between the two renames"


def test_without_an_exchange_a_failed_second_rename_is_taken_back(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "exchange", lambda *_: False)
    old = standing(shop, OLD)
    shop.write(NEW)
    with breaking(-1, full) as steps:
        shop.published()
    renames = [step for step, name in enumerate(steps) if name == "rename"]
    swaps = renames[1:5]  # before them the spare trees are taken, and after them kept
    for step in swaps:
        assert standing(shop, OLD) == old
        shop.write(NEW)
        with breaking(step, full), pytest.raises(PublishError, match="is full"):
            shop.publish()
        assert trees(shop)["public"] == old["public"]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has renameat2")
def test_two_folders_change_names_in_one_step(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    assert disk.exchange(tmp_path / "one", tmp_path / "other")
    assert sorted(files(tmp_path)) == ["one", "one/other", "other", "other/one"]
    with pytest.raises(FileNotFoundError):
        disk.exchange(tmp_path / "one", tmp_path / "missing")


READER = """
import sys
from pathlib import Path

public, stop = Path(sys.argv[1]), Path(sys.argv[2])
pages = [public / name for name in sys.argv[3:]]
reads, missed, texts = 0, 0, set()
print("reading", flush=True)
while not stop.exists():
    for page in pages:
        try:
            text = page.read_bytes()
        except OSError:
            missed += 1
        else:
            if text not in texts:
                texts.add(text)
                print("new", flush=True)
        reads += 1
print(reads, missed, flush=True)
"""


def test_a_reader_misses_no_page_through_thirty_swaps(shop: Shop, tmp_path: Path) -> None:
    shop.published()
    stop = tmp_path / "stop"
    pages = [f"{token}/index.html" for token in TOKENS.values()]
    command = [sys.executable, "-c", READER, str(shop.public), str(stop), *pages]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as reader:
        assert reader.stdout is not None
        assert reader.stdout.readline() == "reading\n"
        for number in range(30):
            shop.write(f"Visit {number}.")
            shop.published()
            assert reader.stdout.readline() == "new\n"
        stop.touch()
        *_, (reads, missed) = (map(int, line.split()) for line in reader.stdout if line != "new\n")
    assert missed == 0
    assert reads > 60
