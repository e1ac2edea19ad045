"""What a statement says was read and measured, each figure with its day, its air and its line."""

from __future__ import annotations

from decimal import Decimal

from dossier.analysis.condition import MeasuredFigure, MeasuredLife
from dossier.analysis.tuning import Stage, VisitPitch
from dossier.edition.condition_view import amount, measured_at, target_text
from dossier.edition.declared import Edition
from dossier.edition.pages import StatementPart
from dossier.edition.pitch_view import pitch_figures
from dossier.edition.told import Told
from dossier.edition.view import Table
from dossier.edition.voice import Voice, capital
from dossier.model import Air, Visit


def pitch_part(_: Edition, told: Told) -> StatementPart:
    """The pitch as found and as left at each visit, with the air of that day."""
    voice = told.voice
    w = voice.words
    pitches = {pitch.visit: pitch for pitch in told.findings.pitches}
    rows = tuple(
        _row(visit, pitches.get(visit.id), voice)
        for visit in told.history.visits
        if visit.id in pitches or visit.air is not None
    )
    title = w("Pitch and humidity")
    if not rows:
        return StatementPart("pitch", title, (w("Neither pitch nor air was read."),))
    figures = pitch_figures(told.history, told.findings, voice)
    record = Table(
        caption=w("As found and as left, in cents from the target, with the air of the day"),
        columns=(
            w("Date"), w("As found"), w("As left"), w("Target"), w("Air"), w("Noted in"),
        ),
        rows=rows,
        numeric=(False, True, True, True, True, False),
    )  # fmt: skip
    last = tuple(figure.table for figure in figures if figure.id == "pitch-along")
    said = w(
        "Each figure is the level of all notes that were read that day. The line is that of the "
        "day’s note."
    )
    return StatementPart("pitch", title, (said,), tables=(record, *last), figures=figures)


def _row(visit: Visit, pitch: VisitPitch | None, voice: Voice) -> tuple[str, ...]:
    hz = voice.form.hertz(Decimal(str(pitch.reference_hz))) if pitch else ""
    return (
        voice.form.date(visit.date),
        _stage(pitch.found if pitch else None, voice),
        _left(pitch, voice),
        hz,
        air_text(visit.air, voice),
        _lines(visit, pitch, voice),
    )


def _left(pitch: VisitPitch | None, voice: Voice) -> str:
    """As it was left; where the pitch was read and not set, it stayed as it was found."""
    if pitch is not None and pitch.left is None:
        return voice.words("as found")
    return _stage(pitch.left if pitch else None, voice)


def _stage(stage: Stage | None, voice: Voice) -> str:
    if stage is None:
        return ""
    told = voice.cents(stage.overall.cents)
    return voice.words("{cents} (not noted; assumed)", cents=told) if stage.assumed else told


def air_text(air: Air | None, voice: Voice) -> str:
    """The air of a day in short: "21 °C, 44 %"."""
    if air is None:
        return ""
    parts = []
    if air.temperature_c is not None:
        parts.append(voice.form.temperature(air.temperature_c))
    if air.humidity is not None:
        parts.append(voice.form.humidity(air.humidity))
    return ", ".join(parts)


def _lines(visit: Visit, pitch: VisitPitch | None, voice: Voice) -> str:
    """The lines of the note that hold what stands in the row."""
    lines = {visit.air.span.line} if visit.air is not None else set()
    if pitch is not None:
        lines |= {
            visit.place_of(name).line
            for name in ("found", "left", "reference_hz")
            if getattr(visit, name) is not None
        }
    ordered = sorted(lines)
    if not ordered:
        return ""
    if len(ordered) == 1:
        return voice.words("line {n}", n=ordered[0])
    return voice.words("lines {lines}", lines=", ".join(map(str, ordered)))


def measured_part(_: Edition, told: Told) -> StatementPart | None:
    """Every measured figure with its target, its day and its air; None where nothing was."""
    voice = told.voice
    w = voice.words
    if not told.findings.measured:
        return None
    visits = {visit.id: visit for visit in told.history.visits}
    rows = tuple(
        _measured(life, figure, visits[figure.visit], voice)
        for life in told.findings.measured
        for figure in life.figures
    )
    targets = tuple(
        w("{kind}: target {target}.", kind=capital(w.term(life.kind.name)), target=target)
        for life in told.findings.measured
        if (target := target_text(life, voice))
    )
    table = Table(
        caption=w("Every measured figure, kind by kind, oldest first"),
        columns=(
            w("What"), w("Note"), w("Figure"), w("Against target"), w("Date"), w("Air"),
            w("Noted in"),
        ),
        rows=rows,
        numeric=(False, False, True, False, False, False, False),
    )  # fmt: skip
    return StatementPart("measured", w("Measured"), tables=(table,), after=targets)


def _measured(
    life: MeasuredLife, figure: MeasuredFigure, visit: Visit, voice: Voice
) -> tuple[str, ...]:
    w = voice.words
    value = amount(life, figure, voice)
    if figure.qualifier:
        value = w("{figure}, {how}", figure=value, how=w.term(figure.qualifier))
    verdict = ""
    if life.target is not None:
        verdict = w("outside") if life.outside(figure) else w("within")
    return (
        capital(w.term(life.kind.name)),
        measured_at(figure, voice),
        value,
        verdict,
        voice.form.date(figure.when),
        air_text(visit.air, voice),
        w("line {n}", n=figure.line),
    )
