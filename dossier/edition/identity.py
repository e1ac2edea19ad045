"""Who the instrument is, in facts; and who speaks."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.analysis.seasoning import standing_on
from dossier.edition.view import Fact, Sender
from dossier.edition.voice import Voice, capital
from dossier.model import History, Material, Shop


def identity(history: History, voice: Voice) -> tuple[Fact, ...]:
    """The nine categories of Object ID (ICOM) and what else identifies the instrument.

    A category that the file leaves out is absent here; "not applicable" is shown as written.
    """
    return tuple(fact for fact in _facts(history, voice) if fact.value)


def _facts(history: History, voice: Voice) -> Iterator[Fact]:
    w, own = voice.words, history.instrument
    yield Fact(w("Type of object"), capital(own.object_type) or w.term(own.shape))
    yield Fact(w("Maker"), own.maker)
    yield Fact(w("Model"), own.model)
    yield Fact(w("Made"), _made(history, voice))
    yield Fact(w("Serial number"), own.serial_number)
    yield Fact(w("Inventory number"), own.inventory_number)
    yield Fact(w("Materials and techniques"), own.materials)
    yield Fact(w("Measurements"), own.measurements)
    yield Fact(w("Inscriptions and markings"), own.inscriptions)
    yield Fact(w("Distinguishing features"), own.features)
    yield Fact(w("Title"), own.title)
    yield Fact(w("Subject"), own.subject)
    yield Fact(w("Compass"), voice.run(own.lowest_key, own.highest_key))
    yield Fact(w("Reference pitch"), reference(history, voice))
    yield Fact(w("Stands"), stands_in(history, voice))
    if own.leave_below_pitch:
        yield Fact(w("Kept below pitch"), own.leave_below_pitch)
    for material in own.controlled:
        said = w("says {who}", who=material.said_by) if material.said_by else ""
        test = tested_text(material, voice) if material.tested_by else ""
        parts = (material.material, material.where, said, test)
        yield Fact(
            w("Material that trade law may control"), capital(", ".join(p for p in parts if p))
        )


def _made(history: History, voice: Voice) -> str:
    own = history.instrument
    if own.made is None:
        return ""
    shown = capital(voice.past(own.made))
    if not own.age_known_from:
        return shown
    return voice.words("{date} (known from: {source})", date=shown, source=own.age_known_from)


def tested_text(one: Material, voice: Voice) -> str:
    """Who tested or identified a material, how and when; or that it is declared, and no more."""
    w = voice.words
    if not one.tested_by:
        return w("declared, not tested")
    when = voice.past(one.tested) if one.tested is not None else w("day not recorded")
    how = one.tested_how or w("how is not recorded")
    return w("tested or identified by {who}: {how}; {when}", who=one.tested_by, how=how, when=when)


def reference(history: History, voice: Voice) -> str:
    """The instrument's reference pitch: "A4 = 440 Hz"."""
    own = history.instrument.reference_hz or history.shop.reference_hz
    return voice.words("{note} = {frequency}", note=voice.key(49), frequency=voice.form.hertz(own))


def stands_in(history: History, voice: Voice) -> str:
    """In which room it stands, since when, and what is near it."""
    w = voice.words
    last = history.visits[-1].date if history.visits else date.max
    standing = standing_on(history, last)
    if standing is None:
        return ""
    room = history.rooms.get(standing.room)
    parts = [room.name if room else standing.room]
    if standing.since is not None:
        parts.append(w("since {date}", date=voice.past(standing.since)))
    if standing.outside_wall is not None:
        parts.append(w("on an outside wall") if standing.outside_wall else w("on an inside wall"))
    if standing.heat:
        parts.append(w("{what} near", what=standing.heat))
    if standing.remark:
        parts.append(standing.remark)
    return capital(", ".join(parts))


def kicker(history: History, voice: Voice) -> str:
    """The line above the title: what it is, by whom, from when."""
    own = history.instrument
    made = voice.past(own.made) if own.made is not None else ""
    parts = [capital(own.object_type) or capital(voice.words.term(own.shape)), own.maker, made]
    return " · ".join(part for part in parts if part)


def sender(shop: Shop) -> Sender:
    """The shop as a reader sees it."""
    return Sender(
        name=shop.name,
        technician=shop.technician,
        qualification=shop.qualification,
        phone=shop.phone,
        email=shop.email,
        web=shop.web,
        address=shop.address,
        letterhead=shop.look.letterhead,
        accent=shop.look.accent,
        logo=shop.look.logo,
        paper=shop.paper,
        about=shop.about,
    )
