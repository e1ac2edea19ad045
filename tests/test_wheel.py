"""The wheel: whole, and of use where there is no checkout."""

import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

import dossier

pytestmark = pytest.mark.slow

PIP = (sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check")


@pytest.fixture(scope="module")
def wheel(repo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [*PIP, "wheel", "--no-deps", "--no-index", "--no-build-isolation", "-w", str(folder)]
    subprocess.run([*command, str(repo)], check=True, capture_output=True, timeout=120)
    (built,) = folder.glob("dossier-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    command = [*PIP, "install", "--no-deps", "--no-index", "--target", str(folder), str(wheel)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    return folder


def tracked(repo: Path, folder: str) -> set[str]:
    """The files of a folder that belong to the project, as paths below it."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--", folder], cwd=repo, capture_output=True, check=True
    ).stdout.decode()
    return {name.removeprefix(f"{folder}/") for name in listed.split("\0") if name}


def test_the_wheel_holds_the_package_and_the_theme(repo: Path, wheel: Path) -> None:
    held = set(ZipFile(wheel).namelist())
    code = {f"dossier/{name}" for name in tracked(repo, "dossier")}
    theme = {f"dossier/_themes/{name}" for name in tracked(repo, "themes")}
    assert code
    assert (code | theme) - held == set()


def test_the_wheel_holds_nothing_of_the_shop_or_the_tests(wheel: Path) -> None:
    rooms = {name.split("/")[0] for name in ZipFile(wheel).namelist()}
    assert rooms == {"dossier", f"dossier-{dossier.__version__}.dist-info"}


def test_an_installed_package_is_found_without_the_checkout(
    installed: Path, tmp_path: Path
) -> None:
    program = "import dossier; print(dossier.__version__, dossier.__file__)"
    run = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        env={"PYTHONPATH": str(installed)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout == f"{dossier.__version__} {installed / 'dossier' / '__init__.py'}\n"
