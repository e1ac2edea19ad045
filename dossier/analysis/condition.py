"""Condition over time: each component's grade, and each mark's life key by key."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from dossier.analysis.compass import as_places, keys_of
from dossier.model import COMPONENTS, History, Mark, MarkKind, MeasuredKind, Target, Visit

MarkState = Literal["new", "seen again", "not checked since", "treated", "holding", "recovered"]

REACHES: dict[str, frozenset[str]] = {
    "tuning": frozenset(),
    "rough tuning": frozenset(),
    "pitch raise": frozenset(),
    "pitch lowering": frozenset(),
    "inspection": frozenset(),
    "moving": frozenset(),
    "humidity equipment": frozenset(),
    "easing": frozenset({"keys", "action", "dampers", "pedals and lyre"}),
    "voicing": frozenset({"hammers"}),
    "regulation": frozenset({"keys", "action", "hammers", "dampers", "pedals and lyre"}),
    "restringing": frozenset({"strings", "tuning pins"}),
}
"""The components that a kind of work can treat; a kind that is not here may treat any of them.

Common practice, no source."""

OPEN_STATES: tuple[MarkState, ...] = ("new", "seen again", "not checked since")


@dataclass(frozen=True, slots=True)
class ComponentLife:
    """A component's grades, oldest first, as (date, grade, remark, visit id).

    `seen` is the last date on which it was really looked at; "not examined" never is a look.
    """

    component: str
    grades: tuple[tuple[date, str, str, str], ...]

    @property
    def looks(self) -> tuple[tuple[date, str, str, str], ...]:
        return tuple(grade for grade in self.grades if grade[1] != "not examined")

    @property
    def seen(self) -> date | None:
        return self.looks[-1][0] if self.looks else None


@dataclass(frozen=True, slots=True)
class MarkLife:
    """One kind of mark on keys that share one story.

    `places` are runs of keys (first, last), empty for a mark of the whole instrument; `moisture`
    pairs are the wood's moisture in % when it was last seen and when it was found right.
    """

    kind: str
    component: str
    places: tuple[tuple[int, int], ...]
    state: MarkState
    first_seen: date
    last_seen: date
    last_looked: date
    visit: str
    remark: str
    moisture: tuple[float | None, float | None] = (None, None)

    @property
    def is_open(self) -> bool:
        return self.state in OPEN_STATES


@dataclass(frozen=True, slots=True)
class _KeyStory:
    """What is known of one kind of mark at one key (None: the whole), while reading the visits."""

    first_seen: date
    last_seen: date
    last_looked: date
    state: MarkState
    visit: str
    remark: str
    seen_moisture: float | None
    clear_moisture: float | None = None


def component_lives(history: History) -> tuple[ComponentLife, ...]:
    """Every component of the fixed list with its grades; those never graded have none."""
    lives: dict[str, list[tuple[date, str, str, str]]] = {name: [] for name in COMPONENTS}
    for visit in history.visits:
        for graded in visit.condition:
            lives[graded.component].append((visit.date, graded.grade, graded.remark, visit.id))
    return tuple(ComponentLife(name, tuple(grades)) for name, grades in lives.items())


def mark_lives(history: History, moisture: Callable[[Visit], float | None]) -> tuple[MarkLife, ...]:
    """Every mark's life, grouped into runs of keys with the same story, in order of the kinds.

    `moisture` gives the wood's state in % at a visit, None where it is not known.  A mark that a
    later note does not mention is "not checked since", never healed.  One of a kind that hides
    in damp wood and was found right is "holding" until it was found right in wood at least as
    dry as when it was seen.
    """
    kinds = {kind.name: kind for kind in history.shop.mark_kinds}
    stories: dict[str, dict[int | None, _KeyStory]] = {}
    for visit in history.visits:
        _see(visit, stories, moisture(visit))
        _treat(visit, stories, kinds)
        _clear(visit, stories, kinds, moisture(visit))
    last = history.visits[-1].date if history.visits else None
    return tuple(
        life
        for name, kind in kinds.items()
        if name in stories
        for life in _grouped(kind, stories[name], last)
    )


def _see(
    visit: Visit, stories: dict[str, dict[int | None, _KeyStory]], moisture: float | None
) -> None:
    for mark in visit.marks:
        of_kind = stories.setdefault(mark.kind, {})
        for key in _keys(mark):
            before = of_kind.get(key)
            known = before is not None and before.state != "recovered"
            of_kind[key] = _KeyStory(
                first_seen=before.first_seen if before and known else visit.date,
                last_seen=visit.date,
                last_looked=visit.date,
                state="seen again" if known else "new",
                visit=visit.id,
                remark=mark.remark,
                seen_moisture=moisture,
            )


def _treat(
    visit: Visit,
    stories: dict[str, dict[int | None, _KeyStory]],
    kinds: dict[str, MarkKind],
) -> None:
    for work in visit.work:
        worked = keys_of(work.keys)
        reach = REACHES.get(work.kind)
        for name, of_kind in stories.items():
            kind = kinds[name]
            if work.component and work.component != kind.component:
                continue
            if not work.component and reach is not None and kind.component not in reach:
                continue
            for key, story in of_kind.items():
                reached = key in worked if worked else bool(work.component) and key is None
                if reached and story.state != "recovered":
                    of_kind[key] = _with(story, state="treated", looked=visit.date)


def _clear(
    visit: Visit,
    stories: dict[str, dict[int | None, _KeyStory]],
    kinds: dict[str, MarkKind],
    moisture: float | None,
) -> None:
    marked_now = {(mark.kind, key) for mark in visit.marks for key in _keys(mark)}
    cleared: list[tuple[str, frozenset[int] | None]] = [
        (item.kind, keys_of(item.marked) if item.marked else None) for item in visit.cleared
    ]
    if visit.checked_all:
        cleared.extend((name, None) for name in stories)
    for name, keys in cleared:
        for key, story in stories.get(name, {}).items():
            if (keys is not None and key not in keys) or (name, key) in marked_now:
                continue
            state = _state_when_right(kinds[name], story, moisture)
            stories[name][key] = _with(story, state=state, looked=visit.date, moisture=moisture)


def _state_when_right(kind: MarkKind, story: _KeyStory, moisture: float | None) -> MarkState:
    if not kind.dry_season or story.state == "recovered":
        return "recovered"
    dry_enough = (
        moisture is not None and story.seen_moisture is not None and moisture <= story.seen_moisture
    )
    return "recovered" if dry_enough else "holding"


def _with(
    story: _KeyStory, *, state: MarkState, looked: date, moisture: float | None = None
) -> _KeyStory:
    return _KeyStory(
        first_seen=story.first_seen,
        last_seen=story.last_seen,
        last_looked=looked,
        state=state,
        visit=story.visit,
        remark=story.remark,
        seen_moisture=story.seen_moisture,
        clear_moisture=moisture if moisture is not None else story.clear_moisture,
    )


def _keys(mark: Mark) -> tuple[int | None, ...]:
    return tuple(sorted(keys_of(mark.marked))) if mark.marked else (None,)


def _grouped(
    kind: MarkKind, of_kind: dict[int | None, _KeyStory], last: date | None
) -> Iterator[MarkLife]:
    groups: dict[_KeyStory, set[int]] = {}
    for key, story in of_kind.items():
        groups.setdefault(story, set())
        if key is not None:
            groups[story].add(key)
    for story, keys in groups.items():
        seen_only = story.state in ("new", "seen again")
        stale = seen_only and last is not None and story.last_looked < last
        yield MarkLife(
            kind=kind.name,
            component=kind.component,
            places=as_places(keys),
            state="not checked since" if stale else story.state,
            first_seen=story.first_seen,
            last_seen=story.last_seen,
            last_looked=story.last_looked,
            visit=story.visit,
            remark=story.remark,
            moisture=(story.seen_moisture, story.clear_moisture),
        )


@dataclass(frozen=True, slots=True)
class MeasuredFigure:
    """One measured figure with its visit; `key` is None for a figure of the whole."""

    when: date
    visit: str
    key: int | None
    string: int | None
    value: Decimal
    qualifier: str
    line: int


@dataclass(frozen=True, slots=True)
class MeasuredLife:
    """All figures of one measured kind, oldest first, and the range that they should lie in.

    `target` is (low, high) in the kind's unit with the words of its source, None where no range
    is known for this form of instrument.
    """

    kind: MeasuredKind
    target: tuple[Decimal, Decimal, str] | None
    figures: tuple[MeasuredFigure, ...]

    @property
    def latest(self) -> tuple[MeasuredFigure, ...]:
        """The figures of the last visit that measured this kind."""
        return tuple(f for f in self.figures if f.visit == self.figures[-1].visit)

    def outside(self, figure: MeasuredFigure) -> bool:
        """Whether a figure lies on the troubled side of its target range."""
        if self.target is None:
            return False
        low, high, _ = self.target
        too_low = figure.value < low and self.kind.direction in ("both", "low")
        too_high = figure.value > high and self.kind.direction in ("both", "high")
        return too_low or too_high


def measured_lives(history: History) -> tuple[MeasuredLife, ...]:
    """Every measured kind that was ever measured here, in the order of the shop's kinds."""
    figures: dict[str, list[MeasuredFigure]] = {}
    for visit in history.visits:
        for item in visit.measured:
            figures.setdefault(item.kind, []).append(
                MeasuredFigure(
                    when=visit.date,
                    visit=visit.id,
                    key=item.place.first if item.place else None,
                    string=item.place.string if item.place else None,
                    value=item.value,
                    qualifier=item.qualifier,
                    line=item.span.line,
                )
            )
    return tuple(
        MeasuredLife(kind, _target(history, kind), tuple(figures[kind.name]))
        for kind in history.shop.measured_kinds
        if kind.name in figures
    )


def _target(history: History, kind: MeasuredKind) -> tuple[Decimal, Decimal, str] | None:
    for own in history.instrument.own_targets:
        if own.kind == kind.name:
            return own.low, own.high, own.source or "the instrument's own specification"
    fitting: tuple[Target, ...] = tuple(
        target for target in kind.targets if target.form in (history.instrument.shape, "any")
    )
    return (fitting[0].low, fitting[0].high, kind.source) if fitting else None
