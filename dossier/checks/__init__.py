"""Checks on the whole shop: what is readable but unlikely, told with a reason and never mended."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from dossier.checks import air, days, measured, pitch, privacy, shop, signs, sums, work
from dossier.checks.check import Check
from dossier.diagnostics import Diagnostic, in_order
from dossier.model import Notebook

CHECKS: tuple[Check, ...] = (
    Check("pitch-far-off", "a forgotten raise, figure or sign", pitch.far_off),
    Check("pitch-impossible", "a wrong octave or a misread frequency", pitch.impossible),
    Check("pitch-jump", "a note that was misread beside its neighbours", pitch.jumps),
    Check("reading-twice", "which of two readings was meant", pitch.twice),
    Check("left-off-target", "an owner wants to know why", pitch.left_off),
    Check("left-on-pitch", "what must stay below pitch", pitch.left_on),
    Check("reference-pitch", "every figure of cents hangs on it", pitch.reference, across=True),
    Check("air-unlikely", "a wrong unit, or a hygrometer out of order", air.unlikely),
    Check("log-stops", "a logger whose battery died", air.log_stops),
    Check("measured-implausible", "a decimal point or a unit", measured.implausible),
    Check("torque-zero", "a pin that was not measured", measured.no_torque),
    Check("visit-before-made", "a wrong year", days.before_made),
    Check("visit-before-standing", "which room's air it was in", days.before_standing),
    Check("next-before-visit", "a wrong year", days.next_before_visit),
    Check("next-which-year", "this autumn or the next", days.next_which_year),
    Check("next-long-past", "a visit that was not noted", days.next_long_past),
    Check("advice-before-visit", "a wrong year", days.advice_before_visit),
    Check("hold-long", "pages that never change again", days.long_hold),
    Check("equipment-unserviced", "equipment that does harm quietly", days.unserviced),
    Check("interval-missing", "an instrument that is forgotten", days.no_interval),
    Check("price-unusual", "a lost decimal point", sums.unusual, across=True),
    Check("warranty-long", "a promise that was not meant", sums.warranty),
    Check("work-resolves-nothing", "a problem that stays open by mistake", work.resolves_nothing),
    Check("fixed-without-work", "how it was solved", work.fixed_without_work),
    Check("improved-without-work", "a slip in one of two grades", work.improved_without_work),
    Check(
        "irreversible-without-consent",
        "the owner's own decision",
        work.irreversible_without_consent,
    ),
    Check("raise-without-consent", "old wire breaks", work.raise_without_consent),
    Check("client-without-instruments", "a misspelt slug", shop.without_instruments, across=True),
    Check("instrument-without-visits", "an empty page", shop.without_visits),
    Check("technician", "who came is part of the record", shop.technicians, across=True),
    Check("hands", "the new owner reads what was told to another", shop.hands),
    Check("photo-twice", "a picture that was meant to be another", shop.photos_twice),
    Check("client-name", "a name goes where the sentence goes", privacy.own_name),
    Check("other-client-name", "no client may read of another", privacy.other_name),
    Check("client-street", "where it stands is the owner's business", privacy.street),
    Check("client-telephone", "a number goes where the sentence goes", privacy.telephone),
    Check("email-in-prose", "an address goes where the sentence goes", privacy.mail),
    Check("sign-unshown", "an empty box in a PDF", signs.unshown),
)
"""Every check, in the order in which they are made."""


def run_checks(notebook: Notebook, today: date) -> tuple[Diagnostic, ...]:
    """What all checks find, each finding once, in order of file and line.

    They stop nothing: what is unlikely may be true.
    """
    return _found(CHECKS, notebook, today)


def across(notebook: Notebook, today: date) -> tuple[Diagnostic, ...]:
    """What is found by those checks alone that look across the instruments of a shop."""
    return _found((check for check in CHECKS if check.across), notebook, today)


def of_one(notebook: Notebook, instrument: str, today: date) -> tuple[Diagnostic, ...]:
    """What the others find in one instrument; with `across`, it is all that is found in any.

    It hangs on the instrument's own history and on the shop's clients.
    """
    alone = replace(
        notebook,
        instruments={instrument: notebook.instruments[instrument]},
        visits={instrument: notebook.visits[instrument]},
    )
    return _found((check for check in CHECKS if not check.across), alone, today)


def _found(checks: Iterable[Check], notebook: Notebook, today: date) -> tuple[Diagnostic, ...]:
    return in_order(found for check in checks for found in check.function(notebook, today))


__all__ = ["CHECKS", "Check", "across", "of_one", "run_checks"]
