"""Invented figures for every chart: an ordinary one of each, and what is out of the ordinary."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

from dossier.edition.figures import (
    AgainstTarget,
    Ahead,
    AheadDay,
    AlongCompass,
    CostYears,
    DayAir,
    Drawn,
    Figure,
    KeyCents,
    MarkedKey,
    MarksPicture,
    MeasuredPoint,
    MonthAir,
    RegisterCents,
    RoomYear,
    SeasonAir,
    StringPull,
    Tag,
    TensionAlong,
    ThroughYears,
    YearCost,
    YearPoint,
)
from dossier.edition.view import Table

NAMES = ("A", "A♯", "B", "C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯")
C_TICKS = tuple((4 + 12 * octave, f"C{octave + 1}") for octave in range(8))
REGISTERS = (("bass", 1, 26), ("tenor", 27, 52), ("treble", 53, 88))
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def note(key: int) -> str:
    """The name of a key, A0 = 1."""
    return f"{NAMES[(key - 1) % 12]}{(key + 8) // 12}"


def wave(place: float, height: float) -> float:
    """A figure that looks measured: the same one each time."""
    return round(height * math.sin(place * 1.7) * math.cos(place * 0.31), 1)


def keys(*readings: tuple[int, float]) -> tuple[KeyCents, ...]:
    return tuple(KeyCents(key, note(key), value) for key, value in readings)


def levels(*cents: float) -> tuple[RegisterCents, ...]:
    return tuple(
        RegisterCents(name, first, last, value)
        for (name, first, last), value in zip(REGISTERS, cents, strict=True)
    )


def along(
    found: tuple[KeyCents, ...] = (),
    left: tuple[KeyCents, ...] = (),
    found_levels: tuple[RegisterCents, ...] = (),
    left_levels: tuple[RegisterCents, ...] = (),
) -> AlongCompass:
    return AlongCompass(
        date(2026, 3, 14), 1, 88, C_TICKS, (27, 53), found, left, found_levels, left_levels,
        "as found", "as left", "cents from A4 = 440 Hz",
    )  # fmt: skip


SAMPLED = tuple(range(1, 89, 6))
ALONG = along(
    keys(*((key, round(-6 - 9 * math.sin(key / 28) + wave(key, 1.6), 1)) for key in SAMPLED)),
    keys(*((key, wave(key, 0.9)) for key in SAMPLED)),
    levels(-9.2, -14.1, -8.8),
    levels(0.1, -0.2, 0.3),
)
ALONG_EVERY_KEY = along(
    keys(*((key, round(-7 - 6 * math.sin(key / 25) + wave(key, 2.4), 1)) for key in range(1, 89))),
    keys(*((key, wave(key, 0.8)) for key in range(1, 89))),
    levels(-9.9, -12.6, -8.8),
    levels(0.0, -0.1, 0.1),
)
ALONG_ONE = along(keys((49, -4.0)))
ALONG_ZERO = along(keys((1, 0.0), (49, 0.0), (88, 0.0)), (), levels(0.0, 0.0, 0.0))
ALONG_WHOLE = along(
    (), (), (RegisterCents("whole instrument", 1, 88, -8.0),),
    (RegisterCents("whole instrument", 1, 88, 0.0),),
)  # fmt: skip
ALONG_FAR = along(
    keys(*((key, round(-180 + wave(key, 12), 1)) for key in SAMPLED)),
    keys(*((key, round(-4 + wave(key, 3), 1)) for key in SAMPLED)),
    levels(-176.5, -181.0, -183.0),
    levels(-3.5, -4.0, -4.4),
)


def _visits(
    days: list[date], registers: tuple[str, ...], depth: float, untuned: tuple[int, ...] = ()
) -> tuple[YearPoint, ...]:
    points = []
    for place, day in enumerate(days):
        season = math.sin((day.month - 4) / 12 * 2 * math.pi)
        for row, register in enumerate(registers):
            fell = depth if place == 0 else -2.2
            found = round(fell + season * (5.5 - 1.5 * row) + wave(place + row, 1.2), 1)
            points.append(YearPoint(day, register, 0, found))
            if place not in untuned:
                points.append(YearPoint(day, register, 1, wave(place * 3 + row, 0.4)))
    return tuple(points)


WHOLE = "whole instrument"
YEAR_DAYS = [
    date(2017, 5, 6), date(2019, 3, 30), date(2019, 5, 11), date(2020, 9, 12), date(2021, 10, 9),
    date(2022, 4, 23), date(2023, 4, 15), date(2024, 3, 16), date(2025, 3, 29), date(2025, 10, 4),
    date(2026, 4, 11), date(2026, 10, 10),
]  # fmt: skip
YEARS = ThroughYears(
    registers=("bass", "tenor", "treble", WHOLE),
    points=(
        YearPoint(YEAR_DAYS[0], WHOLE, 0, -18.0),
        YearPoint(YEAR_DAYS[0], WHOLE, 1, 0.0),
        YearPoint(YEAR_DAYS[1], WHOLE, 0, -12.0),
        YearPoint(YEAR_DAYS[1], WHOLE, 1, 0.0),
        *_visits(YEAR_DAYS[2:], ("bass", "tenor", "treble"), -6, (0,)),
    ),
    humidity=tuple(
        (day, round(48 - 12 * math.cos((day.month - 1) / 12 * 2 * math.pi) + wave(row, 3)))
        for row, day in enumerate(YEAR_DAYS[2:])
    ),
    band=(42.0, 58.0),
    tags=(
        Tag(date(2017, 5, 6), "pitch raise"),
        Tag(date(2021, 8, 20), "moved to the parlour"),
        Tag(date(2024, 11, 2), "humidifier fitted"),
    ),
    found_word="as found",
    left_word="as left",
    cents_word="cents from A4 = 440 Hz",
    humidity_word="relative humidity at the visits, %",
    whole=WHOLE,
)
MANY_DAYS = [date(2017, 2, 10) + timedelta(112 * place) for place in range(30)]
YEARS_MANY = ThroughYears(
    registers=("bass", "tenor", "treble"),
    points=_visits(MANY_DAYS, ("bass", "tenor", "treble"), -64),
    humidity=tuple((day, 45.0 + wave(row, 14)) for row, day in enumerate(MANY_DAYS)),
    band=(42.0, 58.0),
    tags=(
        Tag(MANY_DAYS[0], "pitch raise in two passes"),
        Tag(MANY_DAYS[1], "second raise"),
        Tag(MANY_DAYS[1] + timedelta(20), "moved"),
        Tag(MANY_DAYS[28], "moved from the old rehearsal room to the new recital room upstairs"),
        Tag(MANY_DAYS[29], "dehumidifier"),
    ),
    found_word="as found",
    left_word="as left",
    cents_word="cents from A4 = 440 Hz",
    humidity_word="relative humidity at the visits, %",
)
YEARS_ONE = ThroughYears(
    (WHOLE,), (YearPoint(date(2026, 3, 14), WHOLE, 0, -8.0),), (), (42.0, 58.0), (),
    "as found", "as left", "cents from A4 = 440 Hz", "relative humidity, %", WHOLE,
)  # fmt: skip


def _air(day: date, place: int) -> DayAir:
    gone = 95 <= place < 132 or place in {201, 203, 300}
    if gone:
        return DayAir(day, None, None, None)
    mean = 49 - 13 * math.cos((place - 20) / 365 * 2 * math.pi) + wave(place * 0.37, 4)
    return DayAir(
        day, round(mean - 2.5 - abs(wave(place, 3)), 1), round(mean, 1),
        round(mean + 2.5 + abs(wave(place + 5, 3)), 1),
    )  # fmt: skip


ROOM = RoomYear(
    days=tuple(_air(date(2025, 11, 1) + timedelta(place), place) for place in range(365)),
    band=(42.0, 58.0),
    visits=((date(2026, 3, 14), 39.0), (date(2026, 9, 26), 61.0)),
    humidity_word="relative humidity, %",
    band_word="comfort band",
    visits_word="at visits",
    ticks=tuple(
        (date(2025 + (10 + place) // 12, (10 + place) % 12 + 1, 1), MONTHS[(10 + place) % 12])
        for place in range(12)
    ),
)
ROOM_ONE_DAY = RoomYear(
    (DayAir(date(2026, 3, 14), 38.0, 40.0, 43.0),), (42.0, 58.0), (), "relative humidity, %",
    "comfort band", "at visits",
)  # fmt: skip
ROOM_NO_LOG = RoomYear(
    (), (42.0, 58.0), ((date(2024, 3, 14), 39.0), (date(2026, 9, 26), 88.0)),
    "relative humidity, %", "comfort band", "at visits",
)  # fmt: skip

SEASON = SeasonAir(
    months=tuple(
        MonthAir(month, MONTHS[month - 1], value)
        for month, value in enumerate((24, 25, 29, 34, 42, 51, 57, 56, 50, 41, 33, 27), start=1)
    ),
    readings=(
        (date(2023, 4, 15), 41.0), (date(2024, 3, 16), 36.0), (date(2025, 3, 29), 38.0),
        (date(2025, 10, 4), 54.0), (date(2026, 4, 11), 43.0), (date(2026, 10, 10), 52.0),
        (date(2024, 2, 29), 33.0), (date(2024, 12, 31), 37.0),
    ),
    band=(42.0, 58.0),
    humidity_word="relative humidity, %",
    band_word="comfort band",
    warmed_word="outdoor air warmed to the room",
    readings_word="readings at visits",
)  # fmt: skip
SEASON_BARE = SeasonAir(
    SEASON.months, (), SEASON.band, "relative humidity, %", "comfort band", "outdoor air warmed",
    "readings",
)  # fmt: skip

MARKS = MarksPicture(
    first=1,
    last=88,
    ticks=C_TICKS,
    breaks=(27, 53),
    rows=("false beats", "loose tuning pins", "broken or spliced strings", "sluggish hammer"),
    marks=(
        *(MarkedKey("false beats", key, key, "open", True) for key in (66, 67, 71, 74, 79)),
        MarkedKey("false beats", 60, 61, "improved", False),
        MarkedKey("loose tuning pins", 40, 58, "open", True),
        MarkedKey("loose tuning pins", 30, 33, "pins driven", False),
        MarkedKey("broken or spliced strings", 12, 12, "spliced", False),
        MarkedKey("broken or spliced strings", 88, 88, "replaced", False),
        MarkedKey("sluggish hammer", 1, 1, "open", True),
        MarkedKey("sluggish hammer", 20, 88, "eased", False),
        MarkedKey("sluggish hammer", 44, 46, "open again", True),
    ),
    open_word="open",
    closed_word="closed",
)
MARKS_ONE = MarksPicture(
    -8, 97, ((-8, "C0"), (4, "C1"), (97, "C8")), (),
    ("a kind of mark whose name is so long that no picture of this width could ever hold it",),
    (MarkedKey("a kind of mark whose name is so long that no picture of this width could ever "
               "hold it", 49, 49, "open", True),), "open", "closed",
)  # fmt: skip


def _measured(year: int, places: range, base: float) -> tuple[MeasuredPoint, ...]:
    when = date(year, 4, 11)
    return tuple(
        MeasuredPoint(when, f"April {year}", key, note(key), round(base + wave(key + year, 0.6), 1))
        for key in places
    )


TARGET = AgainstTarget(
    kind="key dip", unit="mm", first=1, last=88, ticks=C_TICKS,
    points=(
        *_measured(2018, range(4, 88, 12), 9.2), *_measured(2020, range(4, 88, 12), 9.4),
        *_measured(2023, range(4, 88, 12), 9.6), *_measured(2026, range(1, 89, 6), 10.0),
    ),
    target=(9.8, 10.2), target_word="target",
)  # fmt: skip
TARGET_WHOLE = AgainstTarget(
    "let-off", "mm", 1, 88, C_TICKS,
    tuple(
        MeasuredPoint(date(year, 5, 2), f"May {year}", None, "", value)
        for year, value in ((2019, 3.5), (2022, 3.0), (2026, 1.8))
    ),
    (1.5, 2.5), "target",
)  # fmt: skip
TARGET_MIXED = AgainstTarget(
    "downweight", "g", 1, 88, C_TICKS,
    (
        MeasuredPoint(date(2020, 5, 2), "May 2020", None, "", 56.0),
        *(MeasuredPoint(date(2026, 5, 2), "May 2026", key, note(key), 50.0 + wave(key, 5))
          for key in (4, 16, 28, 40, 52, 64, 76, 88)),
    ),
    None, "",
)  # fmt: skip
TARGET_TWICE = AgainstTarget(
    "pin torque",
    "N·m",
    1,
    88,
    C_TICKS,
    tuple(
        MeasuredPoint(date(2026, 5, 2), "May 2026", 49, "A4", value, how)
        for how, value in (("turning up", 9.6), ("turning down", 7.9))
    ),
    None,
    "",
)
TARGET_OPEN = AgainstTarget(
    "pin torque", "N·m", 1, 88, C_TICKS,
    (MeasuredPoint(date(2026, 5, 2), "May 2026", 49, "A4", 0.0),), (5.6, math.inf), "at least",
)  # fmt: skip

KINDS_IN_ORDER = ("tuning", "pitch raise", "repair", "regulation", "travel")
COST = CostYears(
    "£",
    tuple(
        YearCost(year, kind, amount)
        for year, kind, amount in (
            (2017, "tuning", 80), (2017, "pitch raise", 55), (2019, "tuning", 170),
            (2019, "repair", 140), (2020, "tuning", 90), (2021, "tuning", 90),
            (2022, "tuning", 95), (2022, "regulation", 420), (2023, "tuning", 95),
            (2023, "travel", 30), (2024, "tuning", 100), (2025, "tuning", 205),
            (2025, "repair", 65), (2026, "tuning", 210), (2026, "travel", 32),
        )
    ),
)  # fmt: skip
COST_ONE = CostYears("EUR", (YearCost(2026, "tuning", 110.0),))
COST_NOTHING = CostYears("EUR", (YearCost(2024, "warranty", 0.0), YearCost(2026, "warranty", 0.0)))
COST_LONG = CostYears(
    "US$",
    tuple(
        YearCost(year, f"{kind} and all that belongs to it", 100.0 + 17 * place)
        for year in range(1988, 2027, 2)
        for place, kind in enumerate(("tuning", "repair", "regulation", "voicing", "moving",
                                      "humidity equipment", "travel", "appraisal"))
    ),
)  # fmt: skip

AHEAD = Ahead(
    points=(
        YearPoint(date(2025, 3, 8), "whole compass", 0, -9.0),
        YearPoint(date(2025, 3, 8), "whole compass", 1, 0.0),
        YearPoint(date(2026, 3, 14), "whole compass", 0, -4.5),
        YearPoint(date(2026, 3, 14), "whole compass", 1, 0.0),
    ),
    days=tuple(
        AheadDay(date(2026, 3, 14) + timedelta(days=7 * n), -2.0 - n / 9, n / 20, 2.0 + n / 8)
        for n in range(57)
    ),
    window=(date(2026, 10, 1), date(2026, 11, 10)),
    found_word="as found",
    left_word="as left",
    band_word="four times in five",
    window_word="best weeks",
    cents_word="cents from the target",
    ticks=((date(2025, 7, 1), "Jul"), (date(2026, 1, 1), "Jan 2026"), (date(2026, 7, 1), "Jul")),
)
AHEAD_ALONE = replace(AHEAD, points=(), window=None, ticks=())


def _pull(key: int) -> StringPull:
    """Wound strings up to D♯2, whose tension rises towards the bass; plain ones above."""
    wound = key < 20
    newtons = 980 - 16 * key if wound else 700 - 190 * math.exp((19 - key) / 2.5)
    return StringPull(key, note(key), round(newtons + wave(key, 14), 1), wound, key > 84)


TENSION = TensionAlong(
    1, 88, C_TICKS, (20, 53), tuple(_pull(key) for key in range(1, 89)),
    "tension of one string, N", "plain", "wound", "nearest to breaking",
)  # fmt: skip
TENSION_PART = TensionAlong(
    1, 88, C_TICKS, (), (StringPull(49, "A4", 725.7, wound=False, weak=True),),
    "tension of one string, lbf", "plain", "wound", "nearest to breaking",
)  # fmt: skip

SAMPLES: tuple[tuple[str, Drawn], ...] = (
    ("along", ALONG),
    ("along-every-key", ALONG_EVERY_KEY),
    ("along-one", ALONG_ONE),
    ("along-zero", ALONG_ZERO),
    ("along-whole", ALONG_WHOLE),
    ("along-far", ALONG_FAR),
    ("years", YEARS),
    ("years-many", YEARS_MANY),
    ("years-one", YEARS_ONE),
    ("ahead", AHEAD),
    ("ahead-alone", AHEAD_ALONE),
    ("room", ROOM),
    ("room-one-day", ROOM_ONE_DAY),
    ("room-no-log", ROOM_NO_LOG),
    ("season", SEASON),
    ("season-bare", SEASON_BARE),
    ("marks", MARKS),
    ("marks-one", MARKS_ONE),
    ("target", TARGET),
    ("target-whole", TARGET_WHOLE),
    ("target-mixed", TARGET_MIXED),
    ("target-twice", TARGET_TWICE),
    ("target-open", TARGET_OPEN),
    ("cost", COST),
    ("cost-one", COST_ONE),
    ("cost-nothing", COST_NOTHING),
    ("cost-long", COST_LONG),
    ("tension", TENSION),
    ("tension-part", TENSION_PART),
)


def figure(name: str, drawn: Drawn) -> Figure:
    """A figure around a drawing, with a text alternative that needs escaping."""
    table = Table("Readings", ("key", "cents"), (("A4", "−4"),), (False, True))
    return Figure(name, f"Title of {name}", "A sentence.", f"Alt of {name}: 3 < 5 & A♯4 −2 cents.",
                  "A basis.", table, drawn)  # fmt: skip
