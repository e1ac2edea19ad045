"""All that is computed about one instrument, in one value that knows no reader and no today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.analysis.answers import DriftAnswer
from dossier.analysis.clocks import Clock, clocks
from dossier.analysis.coming import Coming, coming
from dossier.analysis.compass import registers
from dossier.analysis.concerns import AdviceLife, ProblemLife, advice_lives, problem_lives
from dossier.analysis.condition import (
    ComponentLife,
    MarkLife,
    MeasuredLife,
    component_lives,
    mark_lives,
    measured_lives,
)
from dossier.analysis.drift import drift
from dossier.analysis.money import YearSum, by_year
from dossier.analysis.priors import priors_of
from dossier.analysis.raising import RaisePlan, raise_plan
from dossier.analysis.rooms import (
    AirReading,
    RoomAir,
    WarmedMonth,
    air_readings,
    room_air,
    warmed_months,
)
from dossier.analysis.safety import Safety, WarningLife, warned_of, warning_lives
from dossier.analysis.scale import ScaleReport, scale_report
from dossier.analysis.seasoning import WoodState, wood_at
from dossier.analysis.standing import offsets, standing
from dossier.analysis.tuning import VisitPitch, pitch_record
from dossier.analysis.unisons import RegisterUnisons, unison_record
from dossier.model import EquipmentNote, History


@dataclass(frozen=True, slots=True)
class Findings:
    """What the analysis says of one instrument.  `last` is the date of the last visit."""

    registers: tuple[tuple[str, int, int], ...]
    registers_assumed: bool
    last: date | None
    pitches: tuple[VisitPitch, ...]
    readings: tuple[AirReading, ...]
    wood: tuple[tuple[str, WoodState], ...]
    room: RoomAir | None
    warmed: tuple[WarmedMonth, ...]
    components: tuple[ComponentLife, ...]
    marks: tuple[MarkLife, ...]
    measured: tuple[MeasuredLife, ...]
    problems: tuple[ProblemLife, ...]
    advice: tuple[AdviceLife, ...]
    clocks: tuple[Clock, ...]
    coming: Coming | None
    money: tuple[YearSum, ...]
    equipment: tuple[tuple[date, EquipmentNote], ...]
    warnings: tuple[WarningLife, ...]
    unsafe: Safety | None
    drift: DriftAnswer
    raising: RaisePlan | None
    scale: ScaleReport | None
    unisons: tuple[RegisterUnisons, ...]


def analyse(history: History) -> Findings:
    """Everything that is computed about one instrument.

    Its drift begins with what the shop has learned and looked over, else with the tool's own
    starting values.
    """
    states = {visit.id: wood_at(history, visit) for visit in history.visits}

    def moisture(visit_id: str) -> float | None:
        state = states.get(visit_id)
        return state.moisture if state else None

    pitches = pitch_record(history)
    sections = registers(history.instrument)
    marks = mark_lives(history, lambda visit: moisture(visit.id))
    components, measured = component_lives(history), measured_lives(history)
    running, warnings = clocks(history, pitches), warning_lives(history)
    last = history.visits[-1].date if history.visits else None
    return Findings(
        registers=sections,
        registers_assumed=not history.instrument.breaks,
        last=last,
        pitches=pitches,
        readings=air_readings(history),
        wood=tuple((name, state) for name, state in states.items() if state is not None),
        room=room_air(history, last or date.max),
        warmed=warmed_months(history),
        components=components,
        marks=marks,
        measured=measured,
        problems=problem_lives(history),
        advice=advice_lives(history),
        clocks=running,
        coming=coming(history, running),
        money=by_year(history),
        equipment=_equipment(history),
        warnings=warnings,
        unsafe=warned_of(warnings),
        drift=drift(history, priors_of(history.shop)),
        raising=raise_plan(history, pitches, sections, marks, components, measured),
        scale=_scale(history, pitches, sections),
        unisons=unison_record(pitches, sections),
    )


def _scale(
    history: History,
    pitches: tuple[VisitPitch, ...],
    sections: tuple[tuple[str, int, int], ...],
) -> ScaleReport | None:
    own, stands = history.instrument, standing(history, pitches)
    return scale_report(
        own.scale,
        history.reference_hz,
        (own.lowest_key, own.highest_key),
        own.breaks,
        offsets(stands, sections) if stands else None,
    )


def _equipment(history: History) -> tuple[tuple[date, EquipmentNote], ...]:
    own = [(note.when, note) for note in history.instrument.equipment if note.when is not None]
    seen = [(visit.date, note) for visit in history.visits for note in visit.equipment]
    return tuple(sorted([*own, *seen], key=lambda item: item[0]))
