"""Care and safety: one row a rule, shown where it is relevant and not as wallpaper.

A row has its condition, its wording (through words/) and its source.  Every rule defers to
qualified technicians, licensed trades and local codes where the work can hurt someone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from dossier.analysis.findings import Findings
from dossier.analysis.rooms import here
from dossier.analysis.seasoning import standing_on
from dossier.edition.situation import Situation
from dossier.edition.view import Rule
from dossier.edition.voice import Voice
from dossier.model import History

COMMON = "common practice, no source"
TENSION = "common practice: 220 to 230 strings, about 18 to 20 short tons in a large instrument"


@dataclass(frozen=True, slots=True)
class Relevance:
    """What of an instrument's story makes a rule worth saying."""

    upright: bool
    heat: bool
    outside_wall: bool
    equipment: bool
    damp: bool
    dry: bool
    moth: bool
    adhesive: bool
    unsafe: bool
    old: bool
    controlled: bool
    old_wire: bool
    moved: bool


@dataclass(frozen=True, slots=True)
class RuleRow:
    """A rule: its id, when it applies, its title and wording as catalogue sentences, its source."""

    id: str
    applies: Callable[[Relevance], bool]
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class CardRow:
    """A caution of the card, which is read by whoever lifts the lid and so holds always.

    Its id, its wording as a catalogue sentence of one line, its source.
    """

    id: str
    text: str
    source: str


CARE: tuple[RuleRow, ...] = (
    RuleRow(
        "steady air",
        lambda _: True,
        "Keep the air steady",
        "A steady room matters more than a perfect figure. Wood swells in damp air and shrinks in "
        "dry air, and the pitch goes with it. Aim for {low} to {high} relative humidity. In a cold "
        "house don't force it: water on the windows means too much.",
        COMMON,
    ),
    RuleRow(
        "away from heat",
        lambda r: r.heat,
        "Keep heat at a distance",
        "A stove, a radiator, a floor heater or the sun on one side dries the wood unevenly. Leave "
        "the instrument as far from it as the room allows, and keep vents from blowing at it.",
        COMMON,
    ),
    RuleRow(
        "outside wall",
        lambda r: r.outside_wall,
        "Leave air behind it",
        "An outside wall is colder and damper than the room. Leave a hand's width of air behind "
        "the instrument, or choose an inside wall.",
        COMMON,
    ),
    RuleRow(
        "damp and mould",
        lambda r: r.damp,
        "Watch for mould",
        "Above about 60 % relative humidity mould can grow on felt and wood. Air the room on dry "
        "days. If you see or smell mould, don't brush it off: call your technician.",
        "US EPA, mould guidance: keep relative humidity below 60 %, ideally 30 to 50 %",
    ),
    RuleRow(
        "dry room",
        lambda r: r.dry,
        "Dry months",
        "In the heating season the air indoors gets dry. If you use a room humidifier, clean it as "
        "its maker says, use low-mineral water, and set it well away from the instrument.",
        "US EPA, Indoor Air Facts No. 8, on home humidifiers",
    ),
    RuleRow(
        "moth",
        lambda r: r.moth,
        "Moth",
        "Moth likes dark felt that nobody disturbs. Play often, vacuum around and under the "
        "instrument, and tell your technician if you see larvae, webs or bare patches. Put no "
        "moth balls or sprays inside.",
        COMMON,
    ),
    RuleRow(
        "playing and cleaning",
        lambda _: True,
        "Everyday care",
        "Dust the keys with a soft cloth that is barely damp, and dry them. Put no plants, drinks "
        "or candles on the case. Nothing is to be oiled, sprayed or polished inside.",
        COMMON,
    ),
    RuleRow(
        "settling",
        lambda r: r.moved,
        "After a move",
        "An instrument takes about three months to get used to a new room, and a year to see all "
        "of its seasons. Some drift in that time is normal.",
        COMMON,
    ),
)

SAFETY: tuple[RuleRow, ...] = (
    RuleRow(
        "do not use",
        lambda r: r.unsafe,
        "There is a standing warning on this instrument",
        "Until your technician has lifted the warning at the top of this page, keep to it and keep "
        "children away from the instrument.",
        COMMON,
    ),
    RuleRow(
        "tension",
        lambda _: True,
        "Leave the inside alone",
        "The strings pull with many tons in all, and a string that breaks can cut. Repairs inside "
        "are for a qualified piano technician.",
        TENSION,
    ),
    RuleRow(
        "moving",
        lambda _: True,
        "Never move it alone",
        "A piano weighs several hundred kilograms. Have it moved by piano movers, also within the "
        "house: a person should lift 23 kg at best.",
        "NIOSH, revised lifting equation: recommended weight limit 23 kg under ideal conditions",
    ),
    RuleRow(
        "tipping",
        lambda r: r.upright,
        "An upright can tip",
        "Its weight sits high and at the back. Don't let children climb on it, and don't roll it "
        "over edges or carpets.",
        COMMON,
    ),
    RuleRow(
        "lid and legs",
        lambda r: not r.upright,
        "Lid, legs and lyre",
        "Check that the hinge pins are in before you open the lid, and open it with two hands. A "
        "weak leg, lyre or caster is a reason to stop using it and to call your technician.",
        COMMON,
    ),
    RuleRow(
        "mains equipment",
        lambda r: r.equipment,
        "Humidity equipment",
        "It is fitted and serviced by a trained technician, to its maker's instructions. Fixed "
        "wiring is for a licensed electrician and must meet the local code. Keep water away from "
        "plugs, and unplug the equipment before anyone works near it.",
        "common practice; local electrical code",
    ),
    RuleRow(
        "adhesive",
        lambda r: r.adhesive,
        "Thin adhesive was used",
        "Its vapour stings eyes and airways while it cures. Air the room well, and stay away until "
        "the smell has gone. The safety data sheet is to be had from your technician.",
        "NIOSH and OSHA (1989) limits for cyanoacrylates, 2 ppm; the safety data sheet rules",
    ),
    RuleRow(
        "old dust",
        lambda r: r.old or r.moth,
        "Old dust, felt and lead",
        "Old moth powders and treated felt can hold poisons, and the weights in the keys are lead. "
        "Don't vacuum, sand or shake out the inside; droppings, too, are for a technician with a "
        "mask. Wash your hands after touching key weights.",
        COMMON,
    ),
    RuleRow(
        "old wire",
        lambda r: r.old_wire,
        "Old strings",
        "Old wire can break when the pitch is raised, and it breaks without warning. Keep your "
        "face away from the strings while the lid is open.",
        COMMON,
    ),
    RuleRow(
        "trade law",
        lambda r: r.controlled,
        "Before you sell it or take it across a border",
        "It holds, or may hold, material that trade law controls: {materials}. Rules differ from "
        "country to country and change. Ask your national authority before you sell it, send it "
        "or travel with it.",
        "CITES: African elephant ivory, Appendix I since 1990; Dalbergia nigra, Appendix I since "
        "1992. A caution, not legal advice",
    ),
)

CARD: tuple[CardRow, ...] = (
    CardRow(
        "tension",
        "Leave the inside to a technician: the strings pull with tons of force, and one that "
        "breaks can hurt.",
        TENSION,
    ),
    CardRow("cleaning", "No oil, water or spray inside. No drinks or plants on it.", COMMON),
    CardRow(
        "steady air",
        "Keep the air around it between {low} and {high}, away from stoves, vents and sun.",
        COMMON,
    ),
    CardRow("moving", "Do not move it alone: it can tip.", COMMON),
)

OLD_BEFORE = 1960
"""Made before this year, an instrument may hold old powders and treated felt.  From memory."""

DAMP_FROM, DRY_TO = 60.0, 35.0


def relevance(history: History, findings: Findings, now: Situation) -> Relevance:
    """What of this instrument's story makes a rule worth saying."""
    own = history.instrument
    standing = standing_on(history, findings.last or date.max)
    humidity = [r.humidity for r in here(findings.readings) if r.humidity is not None]
    if findings.room is not None:
        humidity.extend((findings.room.exposure.lowest, findings.room.exposure.highest))
    made = own.made.latest if own.made is not None else None
    equipped = bool(findings.equipment) and findings.equipment[-1][1].what != "removed"
    return Relevance(
        upright=own.shape == "upright",
        heat=bool(standing and standing.heat),
        outside_wall=bool(standing and standing.outside_wall),
        equipment=equipped,
        damp=any(value > DAMP_FROM for value in humidity),
        dry=any(value < DRY_TO for value in humidity),
        moth=any(life.kind == "moth" for life in findings.marks),
        adhesive=_adhesive(history, now),
        unsafe=findings.unsafe is not None,
        old=made is not None and made.year < OLD_BEFORE,
        controlled=bool(own.controlled),
        old_wire=any("wire" in consent.what.lower() for consent in own.consents),
        moved=any(clock.kind in ("acclimatising", "first year") for clock in now.running),
    )


def _adhesive(history: History, now: Situation) -> bool:
    """Whether a treatment with adhesive still waits for its check."""
    running = {clock.visit for clock in now.running if clock.kind == "treatment"}
    return any(
        "adhesive" in f"{work.irreversible} {work.text}".lower()
        for visit in history.visits
        if visit.id in running
        for work in visit.work
    )


def rules(
    rows: tuple[RuleRow, ...],
    history: History,
    findings: Findings,
    now: Situation,
    voice: Voice,
) -> tuple[Rule, ...]:
    """The rules of a table that apply here, in the table's order."""
    relevant = relevance(history, findings, now)
    band = history.shop.band
    values = {
        "low": voice.form.number(band.low, 0),
        "high": voice.form.humidity(Decimal(band.high)),
        "materials": voice.listed(material.material for material in history.instrument.controlled),
    }
    w = voice.words
    return tuple(
        Rule(w(row.title), w(row.text, **values), w.term(row.source))
        for row in rows
        if row.applies(relevant)
    )


def card_cautions(history: History, voice: Voice) -> tuple[str, ...]:
    """What the card inside an instrument warns of, in the table's order."""
    band, humidity = history.shop.band, voice.form.humidity
    values = {"low": humidity(band.low), "high": humidity(band.high)}
    return tuple(voice.words(row.text, **values) for row in CARD)
