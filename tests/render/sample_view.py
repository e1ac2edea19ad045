"""Views with invented content, rich enough to look at: what the pages and the PDF are tried on.

Nothing here was analysed; it only reads as if it had been.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import cos, pi, sin

from dossier.edition.figures import (
    AgainstTarget,
    AlongCompass,
    CostYears,
    DayAir,
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
from dossier.edition.listed import DueRow, InstrumentRow, OpenRow
from dossier.edition.pages import (
    BenchIndex,
    BenchNotes,
    ClientView,
    InstrumentView,
    Statement,
    StatementNote,
    StatementPart,
    VisitView,
)
from dossier.edition.view import (
    AdviceLine,
    ConditionLine,
    Fact,
    MarkLine,
    Moment,
    Passage,
    Photo,
    ProblemLine,
    Rule,
    Sender,
    Table,
    Term,
    ToDo,
    WorkLine,
)

MINUS = "\N{MINUS SIGN}"
NB = "\N{NO-BREAK SPACE}"
TICKS = tuple((1 + 12 * n, f"A{n}") for n in range(8))
NAMES = ("A", "A♯", "B", "C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯")
BREAKS = (27, 58)
REGISTERS = ("bass", "tenor", "middle", "treble")
SPANS = {"bass": (1, 26), "tenor": (27, 42), "middle": (43, 60), "treble": (61, 88)}


def note_name(key: int) -> str:
    """A key's note name, 1 = A0."""
    return f"{NAMES[(key - 1) % 12]}{(key + 8) // 12}"


def day_text(when: date) -> str:
    return f"{when.day}{NB}{when:%B} {when.year}"


def signed(value: float, places: int = 1) -> str:
    text = f"{abs(value):.{places}f}"
    return text if not float(text) else f"{'+' if value > 0 else MINUS}{text}"


def sender() -> Sender:
    return Sender(
        name="Alder & Reed Piano Service",
        technician="Ines Marlow",
        qualification="journeyman piano maker; 19 years on the road",
        phone="+1 555 0142",
        email="ines@alder-and-reed.example",
        web="https://alder-and-reed.example",
        address="4 Millrace Lane, Fenwick Harbor",
        letterhead="Alder & Reed Piano Service · 4 Millrace Lane · Fenwick Harbor",
        accent="#2f5d50",
        logo="",
        paper="A4",
        about="Tuning, regulation and repair of acoustic pianos around Fenwick Harbor since 2007.",
    )


def along_compass() -> Figure:
    keys = tuple(range(1, 89, 3))
    found = tuple(
        KeyCents(k, note_name(k), round(-8 - 9 * sin(pi * (k - 12) / 55) + (k % 7) * 0.6, 1))
        for k in keys
    )
    left = tuple(KeyCents(k, note_name(k), round(((k * 5) % 7 - 3) * 0.25, 1)) for k in keys)
    levels = {"bass": -6.1, "tenor": -16.4, "middle": -13.2, "treble": -4.8}
    rows = tuple(
        (name, f"{note_name(SPANS[name][0])} to {note_name(SPANS[name][1])}", signed(v), "+0.2")
        for name, v in levels.items()
    )
    return Figure(
        id="pitch-2026-03-14",
        title="Found flat, most of all in the tenor; left at pitch",
        sentence="On 14 March 2026 the tenor was 16.4 cents below pitch and the bass 6.1; "
        "after tuning no register was more than half a cent away.",
        alt="Pitch from bass to treble on 14 March 2026. As found: bass −6.1, tenor −16.4, "
        "middle −13.2, treble −4.8 cents. As left: within half a cent everywhere.",
        basis="30 readings as found and 30 as left, 14 March 2026, A4 = 440 Hz",
        table=Table(
            "Pitch by register on 14 March 2026, in cents from A4 = 440 Hz",
            ("Register", "Keys", "As found", "As left"),
            rows,
            (False, False, True, True),
        ),
        drawn=AlongCompass(
            when=date(2026, 3, 14),
            first=1,
            last=88,
            ticks=TICKS,
            breaks=BREAKS,
            found=found,
            left=left,
            found_levels=tuple(RegisterCents(n, *SPANS[n], v) for n, v in levels.items()),
            left_levels=tuple(RegisterCents(n, *SPANS[n], 0.2) for n in REGISTERS),
            found_word="as found",
            left_word="as left",
            cents_word="cents from A4 = 440 Hz",
        ),
    )


VISIT_DAYS = (
    date(2019, 5, 18), date(2020, 2, 8), date(2021, 10, 4), date(2022, 4, 2), date(2022, 4, 27),
    date(2023, 3, 30), date(2024, 9, 19), date(2025, 4, 5), date(2026, 3, 14),
)  # fmt: skip
FOUND_MIDDLE = (-31.0, -36.5, -9.0, -41.0, -12.0, -8.5, 6.0, -10.5, -13.2)
LEFT_MIDDLE = (-30.0, -30.0, -28.0, 0.5, 0.2, 0.1, 0.0, 0.3, 0.2)
HUMIDITY = (48.0, 31.0, 52.0, 36.0, 41.0, 34.0, 61.0, 37.0, 30.0)


def through_years() -> Figure:
    offsets = {"bass": 0.45, "tenor": 1.2, "middle": 1.0, "treble": 0.4}
    points = tuple(
        YearPoint(when, name, stage, round(base * offsets[name] if stage == 0 else after, 1))
        for when, base, after in zip(VISIT_DAYS, FOUND_MIDDLE, LEFT_MIDDLE, strict=True)
        for name in REGISTERS
        for stage in (0, 1)
    )
    rows = tuple(
        (day_text(when), signed(base), f"{air:.0f}")
        for when, base, air in zip(VISIT_DAYS, FOUND_MIDDLE, HUMIDITY, strict=True)
    )
    return Figure(
        id="pitch-years",
        title="The pitch follows the seasons since the raise of 2022",
        sentence="Since the raise in April 2022 the middle register has been found between 13 "
        "cents flat, after a heated winter, and 6 cents sharp, after a damp summer.",
        alt="Pitch by register at nine visits from 2019 to 2026 over the room's humidity. Until "
        "2022 about 30 to 40 cents flat; since then between 13 flat and 6 sharp.",
        basis="9 visits, 18 May 2019 to 14 March 2026",
        table=Table(
            "Middle register as found, in cents, and humidity in % RH",
            ("Visit", "As found (cents)", "Humidity (% RH)"),
            rows,
            (False, True, True),
        ),
        drawn=ThroughYears(
            registers=REGISTERS,
            points=points,
            humidity=tuple(zip(VISIT_DAYS, HUMIDITY, strict=True)),
            band=(35.0, 55.0),
            tags=(
                Tag(date(2021, 10, 4), "humidity equipment"),
                Tag(date(2022, 4, 2), "pitch raise"),
            ),
            found_word="as found",
            left_word="as left",
            cents_word="cents from A4 = 440 Hz",
            humidity_word="relative humidity at the visit, %",
        ),
    )


def room_year() -> Figure:
    start = date(2025, 3, 1)
    days = []
    for n in range(390):
        mean = 46 + 13 * cos(2 * pi * (n - 150) / 365) + 3 * sin(n * 1.7) + 2 * sin(n * 0.31)
        gap = 190 <= n < 204
        values = (None,) * 3 if gap else (round(mean - 3, 1), round(mean, 1), round(mean + 4, 1))
        days.append(DayAir(start + timedelta(n), *values))
    return Figure(
        id="air-parlour",
        title="Too dry from December to March",
        sentence="The parlour stood below 35 % for 71 days of the last winter and above 55 % for "
        "23 days of the summer.",
        alt="Daily humidity of the parlour from March 2025 to March 2026, between 29 and 63 %, "
        "dry in winter; comfort band 35 to 55 %. Two weeks in September were not recorded.",
        basis="376 days of the parlour's log, 1 March 2025 to 25 March 2026; 14 days missing",
        table=Table(
            "Humidity of the parlour by season, in % RH",
            ("Season", "Lowest day", "Mean", "Highest day", "Days outside 35–55 %"),
            (
                ("Spring 2025", "33", "41", "52", "9"),
                ("Summer 2025", "46", "57", "63", "23"),
                ("Autumn 2025", "39", "49", "58", "6"),
                ("Winter 2025–26", "29", "34", "43", "71"),
            ),
            (False, True, True, True, True),
        ),
        drawn=RoomYear(
            days=tuple(days),
            band=(35.0, 55.0),
            visits=((date(2025, 4, 5), 37.0), (date(2026, 3, 14), 30.0)),
            humidity_word="relative humidity, %",
            band_word="comfort band, 35–55 %",
            visits_word="read at a visit",
        ),
    )


def season_air() -> Figure:
    names = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
             "October", "November", "December")  # fmt: skip
    warmed = (22.0, 23.0, 27.0, 34.0, 43.0, 54.0, 61.0, 60.0, 52.0, 41.0, 32.0, 25.0)
    return Figure(
        id="air-seasons",
        title="Winter air is dry once it is warmed",
        sentence="Outdoor air of January, warmed to the room, holds about 22 %: without added "
        "moisture a heated room can hardly be kept above 35 % then.",
        alt="Outdoor air warmed to 20 °C, month by month: 22 % in January, 61 % in July, with the "
        "nine readings of the visits.",
        basis="9 readings at visits; monthly means of the climate entered by the shop",
        table=Table(
            "Outdoor air warmed to 20 °C, in % RH",
            ("Month", "Warmed air (% RH)"),
            tuple((name, f"{value:.0f}") for name, value in zip(names, warmed, strict=True)),
            (False, True),
        ),
        drawn=SeasonAir(
            months=tuple(
                MonthAir(i + 1, name, value)
                for i, (name, value) in enumerate(zip(names, warmed, strict=True))
            ),
            readings=tuple(zip(VISIT_DAYS, HUMIDITY, strict=True)),
            band=(35.0, 55.0),
            humidity_word="relative humidity, %",
            band_word="comfort band, 35–55 %",
            warmed_word="outdoor air warmed to 20 °C",
            readings_word="read at a visit",
        ),
    )


def marks_picture() -> Figure:
    marks = (
        MarkedKey("sluggish keys", 33, 39, "eased", False),
        MarkedKey("broken string", 7, 7, "spliced", False),
        MarkedKey("dampers that buzz", 47, 47, "open", True),
        MarkedKey("loose tuning pins", 68, 74, "open", True),
        MarkedKey("light rust", 61, 72, "watched", True),
    )
    return Figure(
        id="marks",
        title="Three kinds of mark are still open, all above the middle",
        sentence="Loose tuning pins from E6 to A♯6 and a damper that buzzes at G4 are open; the "
        "sluggish keys of the tenor were eased.",
        alt="Marks from bass to treble: sluggish keys F3–B3 and a broken string at D♯1 are "
        "settled; a buzzing damper at G4, light rust A5–G♯6 and loose pins E6–A♯6 are open.",
        basis="5 marks from 4 visits",
        table=Table(
            "Marks on the compass",
            ("Kind", "Keys", "State"),
            tuple(
                (
                    m.row,
                    note_name(m.first) + (f"–{note_name(m.last)}" if m.last != m.first else ""),
                    m.state,
                )
                for m in marks
            ),
            (False, False, False),
        ),
        drawn=MarksPicture(
            first=1,
            last=88,
            ticks=TICKS,
            breaks=BREAKS,
            rows=tuple(m.row for m in marks),
            marks=marks,
            open_word="open",
            closed_word="settled",
        ),
    )


def against_target() -> Figure:
    before, after = date(2022, 4, 2), date(2026, 3, 14)
    samples = ((before, 13, 9.4), (before, 49, 9.3), (before, 73, 9.5),
               (after, 13, 10.1), (after, 49, 9.9), (after, 73, 10.4))  # fmt: skip
    points = tuple(MeasuredPoint(w, day_text(w), k, note_name(k), v) for w, k, v in samples)
    return Figure(
        id="measured-key-dip",
        title="Key dip is back within its range, but for A6",
        sentence="After regulation two of three keys lie within 9.8–10.2 mm; A6 is 0.2 mm deep.",
        alt="Key dip at A1, A4 and A6: 9.3 to 9.5 mm in 2022, 9.9 to 10.4 mm in 2026, against a "
        "target of 9.8 to 10.2 mm.",
        basis="6 measurements at 2 visits; target set by the shop",
        table=Table(
            "Key dip, in mm",
            ("Visit", "Key", "Key dip (mm)", "Target (mm)"),
            tuple((p.when_text, p.note, f"{p.value:.1f}", "9.8–10.2") for p in points),
            (False, False, True, True),
        ),
        drawn=AgainstTarget(
            kind="key dip",
            unit="mm",
            first=1,
            last=88,
            ticks=TICKS,
            points=points,
            target=(9.8, 10.2),
            target_word="target, 9.8–10.2 mm",
        ),
    )


def cost_years() -> Figure:
    costs = ((2021, "humidity equipment", 420.0), (2022, "tuning", 140.0),
             (2022, "pitch raise", 95.0), (2023, "tuning", 145.0), (2024, "tuning", 150.0),
             (2024, "repair", 86.5), (2025, "tuning", 155.0), (2026, "tuning", 160.0),
             (2026, "regulation", 240.0))  # fmt: skip
    return Figure(
        id="cost-years",
        title="1,591.50 USD in six years",
        sentence="Half of what was paid went to the humidity equipment of 2021 and the regulation "
        "of 2026.",
        alt="Cost of work by year: 420 USD in 2021, 235 in 2022, 145 in 2023, 236.50 in 2024, 155 "
        "in 2025, 400 in 2026.",
        basis="9 pieces of work with a price, 2021 to 2026",
        table=Table(
            "Cost of work, in USD",
            ("Year", "Work", "USD"),
            tuple((str(y), kind, f"{amount:.2f}") for y, kind, amount in costs),
            (False, False, True),
        ),
        drawn=CostYears("USD", tuple(YearCost(*cost) for cost in costs)),
    )


def string_tension() -> Figure:
    pulls = tuple(
        StringPull(key, note_name(key), round(690 + 12 * sin(key), 1), key < 27, key > 84)
        for key in range(1, 89)
    )
    return Figure(
        id="string-tension",
        title="Tension between 678 and 702 N a string",
        sentence="Tension of one string of each note at A4 = 440 Hz, by the scale.",
        alt="Chart of the tension of one string of each note, between 678 and 702 N.",
        basis="the scale on file, 88 notes, at A4 = 440 Hz",
        table=Table(
            "The scale, note by note",
            ("Note", "One string"),
            tuple((pull.note, f"{pull.tension:.0f}{NB}N") for pull in pulls),
            (False, True),
        ),
        drawn=TensionAlong(
            first=1,
            last=88,
            ticks=TICKS,
            breaks=BREAKS,
            pulls=pulls,
            tension_word="tension of one string, N",
            plain_word="plain",
            wound_word="wound",
            weak_word="nearest to breaking",
        ),
    )


def every_figure() -> tuple[Figure, ...]:
    """One figure of each class that an owner sees."""
    return (
        along_compass(),
        through_years(),
        room_year(),
        season_air(),
        marks_picture(),
        against_target(),
        cost_years(),
    )


def bench_figures() -> tuple[Figure, ...]:
    """Every figure of the bench, which has one more."""
    return (*every_figure(), string_tension())


def _visit_2026() -> VisitView:
    return VisitView(
        anchor="visit-2026-03-14",
        when=date(2026, 3, 14),
        when_text=day_text(date(2026, 3, 14)),
        title="Tuning and regulation",
        technician="Ines Marlow",
        summary="Tuned to pitch after a dry winter; the touch was regulated from bass to treble.",
        facts=(
            Fact("Room", f"20.5{NB}°C, 30{NB}% RH"),
            Fact("Found", f"13.2{NB}cents flat in the middle"),
            Fact("Left", f"A4 = 440{NB}Hz, within half a cent"),
            Fact("Time", f"2{NB}h 40{NB}min"),
        ),
        pitch=along_compass().table,
        lines=(
            "The room was drier than the piano's comfort band.",
            "The humidity equipment was found unplugged and was plugged in again.",
        ),
        work=(
            WorkLine(date(2026, 3, 14), day_text(date(2026, 3, 14)), "tuning",
                     "Tuned the whole compass", "", f"160.00{NB}USD"),
            WorkLine(date(2026, 3, 14), day_text(date(2026, 3, 14)), "regulation",
                     "Regulated key dip, let-off and checking", f"90{NB}min", f"240.00{NB}USD"),
        ),
        problems=("New: the damper of G4 buzzes when the key is let go slowly.",
                  "Still open: tuning pins from E6 to A♯6 turn at 4.5 N·m."),
        advice=("Given: keep the humidity equipment filled and plugged in, above all in winter.",),
        follow=("Check the splice at D♯1, in 4–8 weeks.",),
        measured=against_target().table,
        passages=(
            Passage("The bass is lovely again. I **eased** nothing this time: the tenor keys moved "
                    "freely.\n\n- Lid hinge pin: seated\n- Pedals: quiet\n\nMore about "
                    "[humidity](https://alder-and-reed.example/humidity)."),
            Passage("Block may need doping within five years; quote before autumn.", bench=True),
        ),
        photos=(Photo("pins.jpg", "The splice at D♯1, seen from the bass end",
                      "A bass string with a knot a hand's width above the bridge"),),
        corrections=("20 March 2026: A4 had been noted as 441.2 Hz; it was 440.2 Hz.",),
        private="Dog is friendly, gate code changed.",
        note="instruments/alder-upright/visits/2026-03-14.md:1",
    )  # fmt: skip


def _visit(when: date, title: str, summary: str, *work: WorkLine) -> VisitView:
    at = VISIT_DAYS.index(when)
    return VisitView(
        anchor=f"visit-{when}",
        when=when,
        when_text=day_text(when),
        title=title,
        technician="Ines Marlow",
        summary=summary,
        facts=(
            Fact("Room", f"{HUMIDITY[at]:.0f}{NB}% RH"),
            Fact("Found", f"{signed(FOUND_MIDDLE[at])}{NB}cents in the middle"),
        ),
        pitch=None,
        lines=(),
        work=work,
        problems=(),
        advice=(),
        follow=(),
        measured=None,
        passages=(),
        photos=(),
        corrections=(),
        note=f"instruments/alder-upright/visits/{when}.md:1",
    )


def work_lines() -> tuple[WorkLine, ...]:
    def line(when: date, kind: str, text: str, cost: str, detail: str = "") -> WorkLine:
        return WorkLine(when, day_text(when), kind, text, detail, cost, f"visit-{when}")

    return (
        *(replace(work, target="visit-2026-03-14") for work in _visit_2026().work),
        line(date(2025, 4, 5), "tuning", "Tuned the whole compass", f"155.00{NB}USD"),
        line(date(2024, 9, 19), "repair", "Spliced the broken string at D♯1", f"86.50{NB}USD",
             "warranty until 19 September 2025"),
        line(date(2024, 9, 19), "tuning", "Tuned the whole compass", f"150.00{NB}USD"),
        line(date(2023, 3, 30), "tuning", "Tuned the whole compass", f"145.00{NB}USD"),
        line(date(2022, 4, 27), "tuning", "Second tuning after the raise", "", "within the price"),
        line(date(2022, 4, 2), "pitch raise", "Raised 41 cents to A4 = 440 Hz", f"95.00{NB}USD",
             "on the old wire, with the owner's consent"),
        line(date(2021, 10, 4), "humidity equipment", "Fitted below the keybed",
             f"420.00{NB}USD", "next service in October"),
    )  # fmt: skip


def visits() -> tuple[VisitView, ...]:
    """Latest first, as a page shows them."""
    work = work_lines()
    return (
        _visit_2026(),
        _visit(date(2025, 4, 5), "Tuning", "Tuned; nothing new.", work[2]),
        _visit(date(2024, 9, 19), "Repair and tuning",
               "A bass string had broken and was spliced; the piano was sharp after a damp summer.",
               *work[3:5]),
        _visit(date(2023, 3, 30), "Tuning", "The raise of the year before holds.", work[5]),
        _visit(date(2022, 4, 27), "Second tuning", "Tuned again as the strings settled.", work[6]),
        _visit(date(2022, 4, 2), "Pitch raise", "Raised to A4 = 440 Hz in two passes.", work[7]),
        _visit(date(2021, 10, 4), "Humidity equipment", "Equipment fitted and filled.", work[8]),
    )  # fmt: skip


def timeline() -> tuple[Moment, ...]:
    """Earliest first, as a life is told."""
    return (
        Moment(None, "about 1912", "origin", "Made", "Maker's list of serial numbers; likely."),
        Moment(None, "before 1986", "move", "Came to a school", "Said by the caretaker; possible."),
        Moment(date(2019, 5, 4), "May 2019", "move", "Moved to the parlour",
               "Stands at an outside wall."),
        Moment(date(2021, 10, 4), day_text(date(2021, 10, 4)), "equipment",
               "Humidity equipment fitted", "", "visit-2021-10-04"),
        Moment(date(2022, 4, 2), day_text(date(2022, 4, 2)), "raise", "Pitch raise",
               f"41{NB}cents, to A4 = 440{NB}Hz.", "visit-2022-04-02"),
        Moment(date(2022, 4, 27), day_text(date(2022, 4, 27)), "visit", "Second tuning", "",
               "visit-2022-04-27"),
        Moment(date(2023, 3, 30), day_text(date(2023, 3, 30)), "visit", "Tuning", "",
               "visit-2023-03-30"),
        Moment(date(2024, 9, 19), day_text(date(2024, 9, 19)), "problem", "A bass string broke",
               "D♯1", "visit-2024-09-19"),
        Moment(date(2024, 9, 19), day_text(date(2024, 9, 19)), "repair", "String spliced", "",
               "visit-2024-09-19"),
        Moment(date(2025, 4, 5), day_text(date(2025, 4, 5)), "safety", "Loose caster noticed",
               "The piano is not to be moved until it is mended.", "visit-2025-04-05"),
        Moment(date(2026, 3, 14), day_text(date(2026, 3, 14)), "solved", "Sluggish keys gone", "",
               "visit-2026-03-14"),
        Moment(date(2026, 3, 14), day_text(date(2026, 3, 14)), "visit", "Tuning and regulation",
               f"13{NB}cents flat in the middle as found.", "visit-2026-03-14"),
    )  # fmt: skip


def condition() -> tuple[ConditionLine, ...]:
    seen = day_text(date(2026, 3, 14))
    return (
        ConditionLine("case", "good", 4, "veneer lifting at the toe block", seen),
        ConditionLine("pin block", "fair", 3, "treble pins turn lightly", seen,
                      "good in April 2022"),
        ConditionLine("soundboard", "good", 4, "one old crack, no buzz", seen),
        ConditionLine("bridges", "not examined", None, "", ""),
        ConditionLine("strings", "fair", 3, "light rust A5 to G♯6; one splice", seen),
        ConditionLine("hammers", "poor", 2, "deep grooves; hardened by an earlier hand", seen,
                      "fair in September 2024"),
        ConditionLine("dampers", "fair", 3, "", seen),
        ConditionLine("keys", "very good", 5, "", seen),
        ConditionLine("casters", "unsafe", 1, "one is loose", day_text(date(2025, 4, 5))),
    )  # fmt: skip


def owner_view() -> InstrumentView:
    """A family's upright, as its owner sees it."""
    latest = date(2026, 3, 14)
    return InstrumentView(
        edition="owner",
        edition_word="Owner's dossier",
        slug="alder-upright",
        title="The parlour upright",
        kicker="Upright piano, overstrung, made about 1912",
        client="The Quill family",
        as_of=latest,
        as_of_text=f"As of {day_text(latest)}",
        state="In tune and playing well; three things want watching.",
        state_level="attention",
        unsafe="One caster is loose: please don't move the piano, not even for cleaning.",
        next_text="Tuning, in September 2026",
        next_when=date(2026, 9, 15),
        next_why="The pitch moves with the seasons here; after the damp summer it will have "
        "drifted sharp again.",
        todos=(
            ToDo("Fill the humidity equipment when its light asks for it",
                 "It keeps the wood from drying in winter.", "about every 2 weeks"),
            ToDo("Keep the logger on top of the piano",
                 "It tells us how dry the winter gets.", ""),
            ToDo("Decide about the hammers", "They are worn; a quote is with you.",
                 f"before 1{NB}October 2026"),
        ),
        photo=Photo("front.jpg", "The upright in the parlour, 2026",
                    "A dark upright piano against a white wall, its lid closed"),
        identity=(
            Fact("Object type", "upright piano, overstrung, underdamped"),
            Fact("Maker", "J. Thistlewood & Daughter (invented)"),
            Fact("Made", "about 1912", "serial number list, likely"),
            Fact("Serial number", "40817", "stamped on the plate"),
            Fact("Compass", "A0–C8, 88 keys"),
            Fact("Measurements", f"height 132{NB}cm, width 151{NB}cm, depth 66½{NB}cm"),
            Fact("Inscriptions", "“Gold medal, 1909” on the fallboard"),
            Fact("Stands in", "the parlour, at an outside wall, since May 2019"),
        ),
        key_facts=(
            Fact("Pitch", f"A4 = 440{NB}Hz"),
            Fact("Last tuned", day_text(latest)),
            Fact("Found then", f"13{NB}cents flat"),
            Fact("Room then", f"20.5{NB}°C, 30{NB}% RH"),
        ),
        timeline=timeline(),
        pitch_story="The piano stood 40 cents flat when we first met it. It was raised in April "
        "2022 and has held since; what is left is the swing of the seasons.",
        pitch_figures=(through_years(), along_compass()),
        air_story=(
            ("Wood takes up water from the air and gives it back. A drying soundboard sinks; "
            "the strings go flat. In a damp summer it rises, and they go sharp."),
            "The parlour is too dry in winter for this piano's comfort.",
        ),
        air_facts=(
            Fact("Comfort band", f"35–55{NB}% RH"),
            Fact("Last winter", f"71 days below 35{NB}%"),
            Fact("Last summer", f"23 days above 55{NB}%"),
        ),
        air_figures=(room_year(), season_air()),
        condition=condition(),
        condition_story="Sound in frame and case; the hammers are the next large piece of work.",
        grades=(
            Term("very good", "as new or newly rebuilt"),
            Term("good", "worn a little; works as it should"),
            Term("fair", "worn; works, and will want attention"),
            Term("poor", "no longer works as it should"),
            Term("unsafe", "a danger to people or to the instrument"),
        ),
        marks=(
            MarkLine("sluggish keys", "F3–B3", "eased", False, day_text(date(2026, 3, 14))),
            MarkLine("loose tuning pins", "E6–A♯6", "open", True, day_text(date(2026, 3, 14)),
                     f"4.5{NB}N·m turning up"),
            MarkLine("light rust", "A5–G♯6", "watched", True, day_text(date(2025, 4, 5))),
        ),
        mark_figures=(marks_picture(),),
        measured_figures=(against_target(),),
        problems=(
            ProblemLine("The damper of G4 buzzes", True, "open", day_text(latest),
                        ("14 March 2026: noticed",), "visit-2026-03-14"),
            ProblemLine("One caster is loose", True, "open", day_text(date(2025, 4, 5)),
                        ("5 April 2025: noticed", "14 March 2026: still there"),
                        "visit-2025-04-05"),
            ProblemLine("Keys F3 to B3 were sluggish", False, "fixed", day_text(date(2024, 9, 19)),
                        ("19 September 2024: noticed", "14 March 2026: gone"),
                        "visit-2026-03-14"),
        ),
        advice=(
            AdviceLine("Have the hammers shaped, and new ones fitted within five years", True,
                       "waiting for your answer", day_text(latest), (), "visit-2026-03-14"),
            AdviceLine("Move the piano off the outside wall", False, "declined",
                       day_text(date(2022, 4, 2)),
                       ("27 April 2022: declined, no other place",), "visit-2022-04-02"),
            AdviceLine("Fit humidity equipment", False, "done", day_text(date(2020, 2, 8)),
                       ("4 October 2021: done",), "visit-2021-10-04"),
        ),
        work=work_lines(),
        cost_figures=(cost_years(),),
        visits=tuple(
            replace(
                v,
                private="",
                note="",
                passages=tuple(p for p in v.passages if not p.bench),
            )
            for v in visits()
        ),
        about=(Passage("Bought by a school before the war and *played every day* since. The key "
                       "covers are ivory, said by the first owner."),),
        care=(
            Rule("Keep the humidity steady", "Between 35 and 55 %, and above all steady. Put no "
                 "plant, vase or open water on or in the piano.", "common practice"),
            Rule("Keep it out of the sun", "Sun and stoves dry one side of the case first.",
                 "common practice"),
        ),
        safety=(
            Rule("The caster", "An upright can tip. Leave it where it stands until the caster is "
                 "mended, and let trained movers move it.", "common practice"),
            Rule("Inside the piano", "The strings pull with tons of force. Nothing inside is for "
                 "the owner to repair.", "common practice"),
        ),
        glossary=(
            Term("cent", "a hundredth of the step from one key to the next"),
            Term("as found, as left", "before and after the work of a visit"),
            Term("pitch raise", "bringing a flat piano up to pitch before it is tuned"),
            Term("regulation", "setting the touch: how far and how evenly keys and hammers move"),
        ),
        limits=(
            "This page tells what was seen on the days named; it is no valuation and no warranty.",
            "Components marked “not examined” were not looked at.",
        ),
        sender=sender(),
    )  # fmt: skip


def bench_view() -> InstrumentView:
    """The same upright, as its technician sees it."""
    owner = owner_view()
    notes = BenchNotes(
        client=(
            Fact("Client", "The Quill family", "clients/quill.md:2"),
            Fact("Contact", "Maud Quill"),
            Fact("Phone", "+1 555 0187"),
            Fact("Email", "maud@quill.example"),
            Fact("Address", "12 Lantern Row, Fenwick Harbor"),
            Fact("Costs", "shown to the owner"),
        ),
        access="Side gate, code 4410; ring twice. Parking behind the bakery.",
        last_figures=(
            Fact("Last visit", day_text(date(2026, 3, 14)), "visits/2026-03-14.md:1"),
            Fact(
                "Found",
                f"bass {MINUS}6.1, tenor {MINUS}16.4, middle {MINUS}13.2, "
                f"treble {MINUS}4.8{NB}cents",
                "visits/2026-03-14.md:6",
            ),
            Fact("Room", f"20.5{NB}°C, 30{NB}% RH", "visits/2026-03-14.md:4"),
            Fact("Forecast for 15 September 2026", f"+7{NB}cents in the middle (+2 to +12)"),
        ),
        check=(
            "The splice at D♯1: stretched, noisy?",
            "Pin torque E6–A♯6 against 4.5 N·m of March",
            "Whether the humidity equipment is plugged in",
        ),
        clocks=(
            Fact("Warranty of the splice", "ended 19 September 2025"),
            Fact("Advice unanswered", "hammers, since 14 March 2026"),
        ),
        remarks=(Passage("Owner hears *everything* above C6. Bring the long tip.", bench=True),),
        link="https://dossiers.example/3f9a0c77b1de4c02a6f8e1550c9b2d44/",
        sources=Table(
            "Where it is written",
            ("What", "File", "Line"),
            (
                ("Instrument", "instruments/alder-upright/instrument.md", "1"),
                ("Client", "clients/quill.md", "1"),
                ("Room", "rooms/parlour.md", "1"),
                ("Last visit", "instruments/alder-upright/visits/2026-03-14.md", "1"),
            ),
            (False, False, True),
        ),
        money=Table(
            "Paid, by year",
            ("Year", "USD"),
            (("2024", "236.50"), ("2025", "155.00"), ("2026", "400.00")),
            (False, True),
        ),
        plan=Table(
            "Plan, in cents from A4 = 440 Hz",
            ("Register", "Keys", "Stands at", "Pass 1: set to", "falls back to", "Tension, %"),
            (
                ("Bass", "A0–A♯2", f"{MINUS}24.0", "+8.0", "0.0", "+2.8"),
                ("Low tenor", "B2–A♯3", f"{MINUS}30.0", "+6.0", "0.0", "+3.5"),
                ("Tenor", "B3–F5", f"{MINUS}28.0", "+7.0", "0.0", "+3.3"),
                ("Treble", "F♯5–C8", f"{MINUS}20.0", "+5.0", "0.0", "+2.3"),
            ),
            (False, False, True, True, True, True),
        ),
        plan_words=(
            "Found 26 cents flat of A4 = 440 Hz on 14 March 2026 and not tuned since.",
            "A raise by 26 cents: 1 pass, then the tuning.",
        ),
        strings=(
            Fact("Total tension", f"166.2{NB}kN", "88 notes, 226 strings"),
            Fact("Break at B2", f"tension {MINUS}12.1{NB}%, inharmonicity × 1.62"),
        ),
        string_words=("Strength in use is against the least strength of new wire.",),
        string_table=Table(
            "Nearest to breaking, at the target",
            ("Note", "Wire", "One string", "Strength in use"),
            (("C8", f"0.775{NB}mm", f"741{NB}N", f"69{NB}%"),
             ("B7", f"0.775{NB}mm", f"733{NB}N", f"68{NB}%")),
            (False, True, True, True),
        ),
        string_figures=(string_tension(),),
        unisons=Table(
            "Unisons as found, in cents between the strings of a note",
            ("Visit", "Register", "Notes read", "On average", "Widest"),
            ((day_text(date(2026, 3, 14)), "Treble", "3", "2.4", "4.1 at F♯6"),),
            (False, False, True, True, True),
        ),
    )  # fmt: skip
    return replace(
        owner,
        edition="bench",
        edition_word="Bench",
        visits=visits(),
        about=(*owner.about, Passage("Plate has *two* hairline repairs; ask no more.", bench=True)),
        bench=notes,
    )


def sale_view() -> InstrumentView:
    """A statement of the same upright for a buyer: no owner, no room, and what was released."""
    owner = owner_view()
    note = StatementNote(
        "14 March 2026: Made ready for a sale",
        (Passage("The wren in the casework is a *fine* piece of carving."),),
        (Photo("pins.jpg", "The pins of the fifth octave", "The pins of the fifth octave"),),
    )
    work = Table(
        "All work on record",
        ("When", "What", "By whom", "Cost", "Noted in"),
        (
            ("2 November 2021", "Treatment: thin adhesive at three pins", "Ada Alder",
             f"90{NB}EUR", "line 9"),
            ("14 March 2026", "Tuning", "Ada Alder", "", "line 7"),
        ),
        (False, False, False, True, False),
    )  # fmt: skip
    identity = Table(
        "The nine categories of Object ID (ICOM)",
        ("Category", "What is recorded"),
        (("Type of object", "Upright piano, overstrung"), ("Subject", "Not applicable")),
        (False, False),
    )
    return replace(
        bare_view(),
        edition="sale",
        edition_word="Statement for a sale",
        client="",
        slug=owner.slug,
        title=owner.title,
        kicker=owner.kicker,
        as_of=date(2026, 4, 9),
        as_of_text=day_text(date(2026, 4, 9)),
        state="",
        state_level="good",
        unsafe="Warning of 14 March 2026, not lifted since: Do not move it.",
        photo=Photo("front.jpg", "From the front", "From the front"),
        statement=Statement(
            purpose="This statement tells a buyer what is known of it.",
            issued=date(2026, 4, 9),
            issued_text=day_text(date(2026, 4, 9)),
            number=2,
            issue=(Fact("Edition", "Statement for a sale"), Fact("Number", "2")),
            parts=(
                StatementPart("brief", "In short", ("No problem is open.", "Not examined: ribs.")),
                StatementPart("identity", "Identity", tables=(identity,)),
                StatementPart("work", "Work", ("One treatment.",), tables=(work,)),
                StatementPart("pitch", "Pitch and humidity", figures=owner.pitch_figures),
                StatementPart("notes", "Notes and pictures", ("As written.",), notes=(note,)),
                StatementPart(
                    "limits", "Scope and limits", ("What is not named was not looked at.",),
                    facts=(Fact("Author", "Ada Alder"),), after=("It is no warranty.",),
                ),
            ),
            declaration="This statement was taken from the notes.",
            sign=("Place and date", "Signature", "Name"),
        ),
    )  # fmt: skip


def bare_view() -> InstrumentView:
    """An instrument that was only just met: almost nothing is known."""
    owner = owner_view()
    return InstrumentView(
        edition="owner",
        edition_word="Owner's dossier",
        slug="attic-square",
        title="The square in the attic",
        kicker="Square piano",
        client="The Quill family",
        as_of=None,
        as_of_text="",
        state="Not examined yet.",
        state_level="attention",
        unsafe="",
        next_text="",
        next_when=None,
        next_why="",
        todos=(),
        photo=None,
        identity=(),
        key_facts=(),
        timeline=(),
        pitch_story="",
        pitch_figures=(),
        air_story=(),
        air_facts=(),
        air_figures=(),
        condition=(),
        condition_story="",
        grades=(),
        marks=(),
        mark_figures=(),
        measured_figures=(),
        problems=(),
        advice=(),
        work=(),
        cost_figures=(),
        visits=(),
        about=(),
        care=(),
        safety=(),
        glossary=(),
        limits=(),
        sender=owner.sender,
    )


def instrument_rows(bench: bool = False) -> tuple[InstrumentRow, ...]:
    def row(
        slug: str,
        title: str,
        kicker: str,
        place: str,
        state: tuple[str, str],
        due: date,
        count: int,
    ) -> InstrumentRow:
        return InstrumentRow(
            slug=slug,
            title=title,
            kicker=kicker,
            place=place,
            state=state[1],
            state_level=state[0],
            next_text=f"Tuning, in {due:%B} {due.year}",
            next_when=due,
            last_text=day_text(date(2026, 3, 14)),
            open_count=count,
            client="Harbor School of Music" if bench else "",
            client_slug="harbor-school" if bench else "",
            note=f"instruments/{slug}/instrument.md:1" if bench else "",
        )

    return (
        row("hall-grand", "The hall grand", "Grand piano, made 1978", "Great hall",
            ("stop", "Do not move: a leg plate is cracked."), date(2026, 4, 10), 3),
        row("room-3-upright", "Room 3", "Upright piano, made 1991", "Practice room 3",
            ("attention", "Flat after the winter; due now."), date(2026, 4, 1), 1),
        row("room-7-upright", "Room 7", "Upright piano, made 2004", "Practice room 7",
            ("good", "In tune; nothing open."), date(2026, 9, 12), 0),
        row("studio-grand", "The studio grand", "Grand piano, made 2011", "Studio",
            ("good", "In tune; nothing open."), date(2026, 9, 12), 0),
    )  # fmt: skip


def client_view() -> ClientView:
    """A school's first page."""
    return ClientView(
        slug="harbor-school",
        title="Harbor School of Music",
        intro="Four instruments: one must not be moved, one is due now, two are well.",
        as_of_text=f"As of {day_text(date(2026, 3, 14))}",
        rows=instrument_rows(),
        sender=sender(),
        limits=("These pages tell what was seen on the days named.",),
    )


def bench_index() -> BenchIndex:
    """The workshop's own first page."""
    own = replace(
        instrument_rows()[0],
        slug="alder-upright",
        title="The parlour upright",
        kicker="Upright piano, overstrung, made about 1912",
        place="Parlour",
        state="In tune and playing well; three things want watching.",
        state_level="attention",
        client="The Quill family",
        client_slug="quill",
        note="instruments/alder-upright/instrument.md:1",
    )
    return BenchIndex(
        title="Alder & Reed: the bench",
        today_text=day_text(date(2026, 4, 9)),
        rows=(*instrument_rows(bench=True), own),
        due=(
            DueRow(date(2026, 4, 1), day_text(date(2026, 4, 1)), True, "Room 3", "room-3-upright",
                   "Harbor School of Music", "Practice room 3",
                   ("two tunings a year", "14 cents flat by now, says the forecast")),
            DueRow(date(2026, 4, 10), day_text(date(2026, 4, 10)), False, "The hall grand",
                   "hall-grand", "Harbor School of Music", "Great hall", ("before the exams",)),
            DueRow(None, "any time", False, "The parlour upright", "alder-upright",
                   "The Quill family", "Parlour", ("check the splice at D♯1",)),
        ),
        open=(
            OpenRow("The parlour upright", "alder-upright", "problem", "The damper of G4 buzzes",
                    day_text(date(2026, 3, 14))),
            OpenRow("The parlour upright", "alder-upright", "advice",
                    "Have the hammers shaped: no answer yet", day_text(date(2026, 3, 14))),
            OpenRow("The hall grand", "hall-grand", "safety", "A leg plate is cracked",
                    day_text(date(2026, 3, 2))),
            OpenRow("Room 3", "room-3-upright", "mark", "Sluggish dampers C5–G5",
                    day_text(date(2025, 10, 20))),
        ),
        links=Table(
            "Private links",
            ("Client", "Link", "Opens", "Ends"),
            (
                ("The Quill family", "https://dossiers.example/3f9a0c77b1de4c02a6f8e1550c9b2d44/",
                 "all", ""),
                ("Harbor School of Music",
                 "https://dossiers.example/b81e6d0f95c34a7a8d22c6f4e07a9131/", "all", ""),
            ),
            (False, False, False, False),
        ),
        findings=(
            ("instruments/room-3-upright/visits/2025-10-20.md:7:9: A4 445 Hz is 19 cents above the "
            "reading of the same day at A3"),
        ),
        sender=sender(),
    )  # fmt: skip
