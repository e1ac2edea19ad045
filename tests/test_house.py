"""The import order and the other house rules, read off the source."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
import yaml
from yaml._yaml import CParser

REPO = Path(__file__).resolve().parent.parent
PACKAGE = REPO / "dossier"

# From the ground floor to the top. A room imports only from rows above its own.
ORDER: tuple[tuple[str, ...], ...] = (
    ("diagnostics", "quantities", "slugs", "store", "words"),
    ("untouched",),
    ("model", "sources"),
    ("theme",),
    ("read", "analysis"),
    ("checks", "schemas"),
    ("edition",),
    ("charts", "pictures", "recordings"),
    ("render",),
    ("guide",),
    ("publish",),
    ("tasks",),
    ("sites",),
    ("build",),
    ("desk", "preview"),
    ("cli",),
)
FLOOR = {room: floor for floor, rooms in enumerate(ORDER) for room in rooms}
EXEMPT = {"dossier", "dossier.__main__"}

TOP_LEVEL = {
    ".ci", ".git", ".gitignore", "Makefile", "README.md", "build", "content", "dossier",
    ".pictures", "DEVELOPERS.md", "pyproject.toml", "tests", "themes",
    # Made by tools or by a build, and ignored by git
    ".hypothesis", ".mypy_cache", ".pytest_cache", ".ruff_cache", ".venv", "dist", ".dossier",
}  # fmt: skip
VAGUE = {"utils", "util", "helpers", "helper", "common", "misc"}
HEAVY = {"altair", "weasyprint", "vl_convert", "numpy", "scipy", "PIL", "mutagen"}
OUTSIDE_WORLD = {
    "glob", "http", "io", "os", "pathlib", "random", "requests", "secrets", "shutil", "socket",
    "sqlite3", "subprocess", "tempfile", "time", "urllib", "uuid",
}  # fmt: skip
CLOCK_CALLS = {"today", "now", "utcnow"}


@dataclass(frozen=True)
class Module:
    """A module of the package: its dotted name, its place and its syntax tree."""

    name: str
    path: Path
    tree: ast.Module

    @property
    def room(self) -> str:
        return self.name.split(".")[1] if "." in self.name else ""


@dataclass(frozen=True)
class Import:
    """An import as it is written: the whole dotted name that it asks for, and its line."""

    target: str
    line: int


def walk(package: Path) -> dict[str, Module]:
    """Every module below a package's folder, by name."""
    modules = {}
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        modules[name] = Module(name, path, ast.parse(path.read_bytes(), str(path)))
    return modules


def imports(module: Module) -> Iterator[Import]:
    """All imports, also those inside functions, those for types only and those by a string."""
    package = module.name if module.path.name == "__init__.py" else module.name.rpartition(".")[0]
    for node in ast.walk(module.tree):
        match node:
            case ast.Import(names=names):
                yield from (Import(alias.name, node.lineno) for alias in names)
            case ast.ImportFrom(module=base, names=names, level=level):
                parts = package.split(".")
                above = parts[: len(parts) - level + 1] if level else []
                source = ".".join([*above, *([base] if base else [])])
                yield from (Import(f"{source}.{alias.name}", node.lineno) for alias in names)
            case ast.Call(
                func=ast.Name(id=name) | ast.Attribute(attr=name),
                args=[ast.Constant(value=str(target)), *_],
            ) if name in {"import_module", "__import__"}:
                yield Import(target, node.lineno)


def target_module(target: str, modules: dict[str, Module]) -> str | None:
    """The module that an import reaches: `dossier.model.visit.Visit` reaches its module."""
    while target:
        if target in modules:
            return target
        target = target.rpartition(".")[0]
    return None


def order_faults(modules: dict[str, Module]) -> list[str]:
    faults = []
    for module in modules.values():
        if module.name in EXEMPT:
            continue
        if module.room not in FLOOR:
            faults.append(f"{module.name} has no place in the order")
            continue
        for imported in imports(module):
            if not imported.target.startswith("dossier."):
                continue
            room = imported.target.split(".")[1]
            if room in {module.room, "__version__"}:
                continue
            if room not in FLOOR:
                faults.append(
                    f"{module.name}:{imported.line} imports {imported.target}, not a room"
                )
            elif FLOOR[room] >= FLOOR[module.room]:
                faults.append(f"{module.name}:{imported.line} may not import {imported.target}")
    return faults


def module_graph(modules: dict[str, Module]) -> dict[str, set[str]]:
    graph: dict[str, set[str]] = {name: set() for name in modules}
    for module in modules.values():
        for imported in imports(module):
            reached = target_module(imported.target, modules)
            if reached and reached not in {module.name, "dossier"}:
                graph[module.name].add(reached)
    return graph


def package_graph(modules: dict[str, Module]) -> dict[str, set[str]]:
    """The rooms and, in them, the packages: an arrow for each import that leaves one."""
    graph: dict[str, set[str]] = {}
    for name, reached in module_graph(modules).items():
        here = package_of(name, modules)
        there = {package_of(other, modules) for other in reached}
        graph.setdefault(here, set()).update(there - {here})
    return graph


def package_of(name: str, modules: dict[str, Module]) -> str:
    """A module's package; a module that stands alone in the house is a room of its own."""
    if modules[name].path.name == "__init__.py" or name.count(".") == 1:
        return name
    return name.rpartition(".")[0]


def cycle(graph: dict[str, set[str]]) -> list[str]:
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        return list(error.args[1])
    return []


def outside_world_faults(modules: dict[str, Module]) -> list[str]:
    return [
        f"{module.name}:{imported.line} imports {imported.target}"
        for module in modules.values()
        if module.room in {"analysis", "model"}
        for imported in imports(module)
        if imported.target.split(".")[0] in OUTSIDE_WORLD
    ]


CLOCKS = {"dossier.cli.telling", "dossier.untouched"}
"""Who asks for the technician's own today, and for the age of a file, which is on no page."""


def clock_faults(modules: dict[str, Module]) -> list[str]:
    """Reads of the clock: a call of today() or now(), or `date.today` handed on uncalled."""
    faults = []
    for module in modules.values():
        if module.name in CLOCKS:
            continue
        for node in ast.walk(module.tree):
            match node:
                case ast.Call(func=ast.Attribute(attr=attribute)) if attribute in CLOCK_CALLS:
                    faults.append(f"{module.name}:{node.lineno} calls {attribute}()")
                case ast.Attribute(
                    value=ast.Name(id=owner) | ast.Attribute(attr=owner), attr=attribute
                ) if (owner in {"date", "datetime"} and attribute in CLOCK_CALLS) or (
                    owner == "time" and attribute in {"time", "time_ns", "localtime", "gmtime"}
                ):
                    faults.append(f"{module.name}:{node.lineno} reads {owner}.{attribute}")
    return faults


@pytest.fixture(scope="module")
def modules() -> dict[str, Module]:
    found = walk(PACKAGE)
    assert len(found) > len(EXEMPT), "no module was walked"
    return found


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A small house with one fault of each kind."""
    rooms = {
        "__init__.py": "",
        "diagnostics.py": "from dossier.quantities import cents\n",
        "quantities.py": "",
        "model/__init__.py": "",
        "model/visit.py": "def f():\n    from dossier.model import piano\n",
        "model/piano.py": "import dossier.model.visit\n",
        "analysis/__init__.py": "import os.path\nfrom dossier.read.notes import front_matter\n",
        "analysis/seasons.py": "import datetime\nfresh = datetime.date.today\n",
        "read/__init__.py": "",
        "read/notes.py": "from importlib import import_module\nimport_module('dossier.cli')\n",
        "read/deep/__init__.py": "from dossier.read.flat import a\n",
        "read/deep/b.py": "",
        "read/flat.py": "from dossier.read.deep.b import c\n",
        "attic.py": "from . import model\n",
        "render/__init__.py": "from dossier.attic import x\nfrom datetime import date\n\n"
        "page_date = date.today()\n",
        "cli/__init__.py": "",
        "cli/telling.py": "from datetime import date\n\nprint(date.today())\n",
    }
    for name, text in rooms.items():
        path = tmp_path / "dossier" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path / "dossier"


def test_a_module_imports_only_from_the_rooms_before_its_own(modules: dict[str, Module]) -> None:
    assert order_faults(modules) == []


def test_a_wrong_import_is_named_with_its_line(house: Path) -> None:
    assert order_faults(walk(house)) == [
        "dossier.analysis:2 may not import dossier.read.notes.front_matter",
        "dossier.attic has no place in the order",
        "dossier.diagnostics:1 may not import dossier.quantities.cents",
        "dossier.read.notes:2 may not import dossier.cli",
        "dossier.render:1 imports dossier.attic.x, not a room",
    ]


def test_no_module_imports_itself_by_a_detour(modules: dict[str, Module]) -> None:
    assert cycle(module_graph(modules)) == []


def test_no_package_imports_itself_by_a_detour(modules: dict[str, Module]) -> None:
    assert cycle(package_graph(modules)) == []


def test_a_detour_is_found(house: Path) -> None:
    found = walk(house)
    model = {name: module for name, module in found.items() if module.room == "model"}
    assert set(cycle(module_graph(model))) == {"dossier.model.visit", "dossier.model.piano"}
    # Between packages there can be one where there is none between modules.
    reading = {name: module for name, module in found.items() if ".read." in f"{name}."}
    assert cycle(module_graph(reading)) == []
    assert set(cycle(package_graph(reading))) == {"dossier.read", "dossier.read.deep"}


def test_model_and_analysis_know_nothing_of_the_outside_world(modules: dict[str, Module]) -> None:
    assert outside_world_faults(modules) == []


def test_an_import_of_the_outside_world_is_named_with_its_line(house: Path) -> None:
    assert outside_world_faults(walk(house)) == ["dossier.analysis:1 imports os.path"]


def test_only_the_command_line_reads_the_clock(modules: dict[str, Module]) -> None:
    assert clock_faults(modules) == []


def test_a_look_at_the_clock_is_named_with_its_line(house: Path) -> None:
    assert clock_faults(walk(house)) == [
        "dossier.analysis.seasons:2 reads date.today",
        "dossier.render:4 calls today()",
        "dossier.render:4 reads date.today",
    ]


def test_every_module_is_named_for_what_it_holds(modules: dict[str, Module]) -> None:
    assert [name for name in modules if VAGUE & set(name.split("."))] == []


def test_the_top_level_holds_only_what_is_known() -> None:
    assert {path.name for path in REPO.iterdir()} - TOP_LEVEL == set()


def loaded_with(module: str) -> set[str]:
    program = f"import {module}, sys; print(*sorted(sys.modules))"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=REPO, capture_output=True, text=True, check=True
    )
    loaded = set(run.stdout.split())
    assert set(module.split(", ")) <= loaded
    return loaded


def test_a_command_starts_without_the_heavy_libraries() -> None:
    assert loaded_with("dossier.cli") & HEAVY == set()


def test_a_build_reads_before_it_loads_what_pages_are_made_with() -> None:
    """Another process loads that meanwhile."""
    making = {"jinja2", "dossier.analysis.findings", "dossier.checks", "dossier.edition.situation"}
    assert loaded_with("dossier.build") & (HEAVY | making) == set()


def test_what_workers_are_forked_from_has_drawn_nothing() -> None:
    """Whoever drew a chart can't be forked."""
    loaded = loaded_with("dossier.tasks.loaded, dossier.tasks.loaded_for_documents")
    assert {"dossier.analysis.findings", "jinja2", "weasyprint"} <= loaded
    assert not {"altair", "vl_convert"} & loaded


@pytest.mark.skipif(sys.platform != "linux", reason="threads have their names in /proc")
@pytest.mark.parametrize("drawn", [False, True])
def test_what_draws_is_loaded_without_its_engine(*, drawn: bool) -> None:
    """The engine's threads are what can't be forked."""
    program = f"""
import dossier.tasks.loaded, dossier.tasks.loaded_for_charts, vl_convert
from pathlib import Path
if {drawn}:
    vl_convert.javascript_bundle()
print(*(name.read_text() for name in Path("/proc/self/task").glob("*/comm")))
"""
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=REPO, capture_output=True, text=True, check=True
    )
    assert ("V8" in run.stdout) is drawn


def test_notes_are_parsed_by_the_c_extension() -> None:
    assert yaml.__with_libyaml__
    assert issubclass(yaml.CSafeLoader, CParser)
