"""The air on a page: the room's log against the comfort band, or the visits over the seasons."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from dossier.analysis.findings import Findings
from dossier.analysis.rooms import AirReading, RoomAir, here
from dossier.edition.figures import DayAir, Figure, MonthAir, RoomYear, SeasonAir
from dossier.edition.view import Fact, Table
from dossier.edition.voice import Voice
from dossier.model import History

TICK_MONTHS = (1, 4, 7, 10)


def air_story(history: History, findings: Findings, voice: Voice) -> tuple[str, ...]:
    """What the air is like at the instrument, in a few sentences, with what they rest on."""
    if findings.room is not None:
        return _logged_story(findings.room, voice)
    read = here(findings.readings)
    if not read:
        return (
            voice.words("The air has not been read yet, so nothing can be said of the seasons."),
        )
    return _read_story(history, read, voice)


def _logged_story(room: RoomAir, voice: Voice) -> tuple[str, ...]:
    w, f, air = voice.words, voice.form, room.exposure
    band = _band(air.band.low, air.band.high, voice)
    said = [
        w(
            "The room's logger ran from {first} to {last}.",
            first=f.date(air.first.date()),
            last=f.date(air.last.date()),
        ),
        w(
            "The air was inside the comfort band of {band} for {inside} of the time, drier for "
            "{below} and damper for {above}.",
            band=band,
            inside=_share(air.inside_share, voice),
            below=_share(air.below_share, voice),
            above=_share(air.above_share, voice),
        ),
    ]
    if air.driest_week and air.dampest_week:
        said.append(
            w(
                "The driest week, {dry_date}, averaged {dry}; the dampest, {damp_date}, {damp}.",
                dry_date=voice.window(air.driest_week.first_day, air.driest_week.last_day),
                dry=_percent(air.driest_week.humidity, voice),
                damp_date=voice.window(air.dampest_week.first_day, air.dampest_week.last_day),
                damp=_percent(air.dampest_week.humidity, voice),
            )
        )
    if air.gaps:
        said.append(
            w.plural(
                "The log has {n} gap; nothing is assumed for it.",
                "The log has {n} gaps; nothing is assumed for them.",
                len(air.gaps),
            )
        )
    return tuple(said)


def _read_story(history: History, read: tuple[AirReading, ...], voice: Voice) -> tuple[str, ...]:
    w = voice.words
    values = [reading.humidity for reading in read if reading.humidity is not None]
    band = history.shop.band
    low, high = float(band.low), float(band.high)
    outside = sum(1 for value in values if not low <= value <= high)
    shown = _band(low, high, voice)
    if len(values) == 1:
        said = [_one_reading(values[0], shown, voice, inside=not outside)]
    else:
        said = [
            w(
                "At {n} visits the air was read: {low} to {high} relative humidity.",
                n=len(values),
                low=_percent(min(values), voice),
                high=_percent(max(values), voice),
            ),
            _outside(outside, len(values), shown, voice),
        ]
    said.append(
        w("A reading tells of one hour; a logger in the room would tell of the whole year.")
    )
    return tuple(said)


def _one_reading(value: float, band: str, voice: Voice, *, inside: bool) -> str:
    w, shown = voice.words, _percent(value, voice)
    if inside:
        return w(
            "At one visit the air was read: {humidity} relative humidity, inside the comfort band "
            "of {band}.",
            humidity=shown,
            band=band,
        )
    return w(
        "At one visit the air was read: {humidity} relative humidity, outside the comfort band of "
        "{band}.",
        humidity=shown,
        band=band,
    )


def _outside(outside: int, every: int, band: str, voice: Voice) -> str:
    w = voice.words
    if not outside:
        return w("All of them lay inside the comfort band of {band}.", band=band)
    if outside == every:
        return w("All of them lay outside the comfort band of {band}.", band=band)
    return w.plural(
        "{n} of these readings lay outside the comfort band of {band}.",
        "{n} of these readings lay outside the comfort band of {band}.",
        outside,
        band=band,
    )


def air_facts(findings: Findings, voice: Voice) -> tuple[Fact, ...]:
    """The figures of a room's log, with what they rest on."""
    if findings.room is None:
        return ()
    w, f, air = voice.words, voice.form, findings.room.exposure
    basis = w(
        "{n} readings, {share} of the span covered",
        n=f.number(air.readings_count, 0),
        share=_share(air.coverage, voice),
    )
    facts = [Fact(w("Mean humidity"), _percent(air.mean, voice))]
    facts.append(Fact(w("Lowest and highest"), _band(air.lowest, air.highest, voice)))
    if air.daily_swing is not None:
        facts.append(
            Fact(
                w("Swing within a day"),
                w(
                    "{points} points, the middle of {n} days",
                    points=f.number(round(air.daily_swing, 1), 1),
                    n=air.swing_days,
                ),
            )
        )
    if air.seasonal_range is not None:
        facts.append(
            Fact(
                w("Between the driest and the dampest month"),
                w("{points} points", points=f.number(round(air.seasonal_range, 0), 0)),
            )
        )
    if air.longest_dry_spell is not None:
        facts.append(
            Fact(
                w("Longest dry spell"),
                w.plural(
                    "{n} day below {low}",
                    "{n} days below {low}",
                    round(air.longest_dry_spell.hours / 24),
                    low=_percent(air.band.low, voice),
                ),
            )
        )
    facts.append(Fact(w("Rests on"), basis))
    return tuple(facts)


def air_figures(history: History, findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """The picture of the room's air: its log, or the visits' readings over the warmed climate."""
    figure = (
        _room_year(findings.room, findings, voice)
        if findings.room is not None
        else _season(history, findings, voice)
    )
    return (figure,) if figure is not None else ()


def _room_year(room: RoomAir, findings: Findings, voice: Voice) -> Figure:
    """The latest days of the log, with the figures of these days and of no others."""
    w, air, days = voice.words, room.latest, room.days
    first, last = days[0].when, days[-1].when
    span = {"first": voice.form.date(first), "last": voice.form.date(last)}
    visits = tuple(
        (reading.when, reading.humidity)
        for reading in findings.readings
        if reading.humidity is not None and first <= reading.when <= last
    )
    band = _band(air.band.low, air.band.high, voice)
    return Figure(
        id="room-year",
        title=w(
            "Inside the comfort band for {share} of the time", share=_share(air.inside_share, voice)
        ),
        sentence=w(
            "Relative humidity in the room, day by day from {first} to {last}: the lowest and "
            "highest of each day, its mean, and the comfort band of {band}.",
            band=band,
            **span,
        ),
        alt=w(
            "Chart of the room's relative humidity from {first} to {last}, between {low} and "
            "{high}, against the comfort band of {band}.",
            low=_percent(air.lowest, voice),
            high=_percent(air.highest, voice),
            band=band,
            **span,
        ),
        basis=w(
            "{room}: {n} readings, {span}",
            room=room.room.name,
            n=voice.form.number(air.readings_count, 0),
            span=w("{first} to {last}", **span),
        ),
        table=_months_table(room, voice),
        signs=voice.form.signs,
        drawn=_drawn(room, band=(air.band.low, air.band.high), visits=visits, voice=voice),
    )


def _drawn(
    room: RoomAir,
    band: tuple[float, float],
    visits: tuple[tuple[date, float], ...],
    voice: Voice,
) -> RoomYear:
    w = voice.words
    return RoomYear(
        days=tuple(DayAir(day.when, *_rounded(day.low, day.mean, day.high)) for day in room.days),
        band=band,
        visits=visits,
        humidity_word=w("relative humidity, %"),
        band_word=w("comfort band"),
        visits_word=w("read at a visit"),
        ticks=tuple(
            (day.when, voice.form.month_tick(day.when))
            for day in room.days
            if day.when.day == 1 and day.when.month in TICK_MONTHS
        ),
    )


def _rounded(*values: float | None) -> tuple[float | None, ...]:
    return tuple(None if value is None else round(value, 1) for value in values)


def _months_table(room: RoomAir, voice: Voice) -> Table:
    w = voice.words
    rows = tuple(
        (
            voice.form.month(month.month),
            _percent(month.humidity, voice),
            _share(month.coverage, voice),
        )
        for month in room.latest.months
    )
    return Table(
        caption=w("Mean relative humidity by month, {room}", room=room.room.name),
        columns=(w("Month"), w("Mean"), w("Covered by readings")),
        rows=rows,
        numeric=(False, True, True),
    )


def _season(history: History, findings: Findings, voice: Voice) -> Figure | None:
    w = voice.words
    read = here(findings.readings)
    if not read:
        return None
    band = (float(history.shop.band.low), float(history.shop.band.high))
    values = [reading.humidity for reading in read if reading.humidity is not None]
    low, high = _percent(min(values), voice), _percent(max(values), voice)
    return Figure(
        id="season-air",
        title=w("The air read {humidity}", humidity=low)
        if low == high
        else w("The air read between {low} and {high}", low=low, high=high),
        sentence=w(
            "Humidity read at the visits, by the time of year, over the outdoor air of these "
            "months once warmed to the room. People, cooking and plants add to that."
        )
        if findings.warmed
        else w("Humidity read at the visits, by the time of year."),
        alt=w(
            "Chart of relative humidity at {n} visits by month of the year, from {low} to {high}.",
            n=len(values),
            low=low,
            high=high,
        ),
        basis=w.plural("{n} reading at a visit", "{n} readings at visits", len(values)),
        table=Table(
            caption=w("Air at the visits"),
            columns=(
                w("Date"),
                w("Temperature"),
                w("Humidity"),
                w("Dew point"),
                w("Water in the air"),
                w("Noted in"),
            ),
            rows=tuple(_reading_row(reading, voice) for reading in read),
            numeric=(False, True, True, True, True, False),
        ),
        signs=voice.form.signs,
        drawn=SeasonAir(
            months=tuple(
                MonthAir(
                    month.month,
                    voice.form.month_name(month.month, short=True),
                    round(month.humidity, 1),
                )
                for month in findings.warmed
            ),
            readings=tuple((r.when, r.humidity) for r in read if r.humidity is not None),
            band=band,
            humidity_word=w("relative humidity, %"),
            band_word=w("comfort band"),
            warmed_word=w("outdoor air warmed to the room"),
            readings_word=w("read at a visit"),
            names=tuple(voice.form.month_name(month, short=True) for month in range(1, 13)),
        ),
    )


def _reading_row(reading: AirReading, voice: Voice) -> tuple[str, ...]:
    w, f = voice.words, voice.form
    return (
        f.date(reading.when),
        f.temperature(_decimal(reading.temperature_c)) if reading.temperature_c is not None else "",
        f.humidity(_decimal(reading.humidity)) if reading.humidity is not None else "",
        f.temperature(_decimal(reading.dew_point_c)) if reading.dew_point_c is not None else "",
        w("{n} g/m³", n=f.number(_decimal(reading.absolute), 1))
        if reading.absolute is not None
        else "",
        w("line {n}", n=reading.line),
    )


def _decimal(value: float | None) -> Decimal:
    return Decimal(str(round(value or 0.0, 1)))


def _percent(value: float, voice: Voice) -> str:
    return voice.form.humidity(Decimal(str(round(value))))


def _share(value: float, voice: Voice) -> str:
    return voice.form.humidity(Decimal(str(round(value * 100))))


def _band(low: float, high: float, voice: Voice) -> str:
    return voice.words("{low} to {high}", low=_percent(low, voice), high=_percent(high, voice))
