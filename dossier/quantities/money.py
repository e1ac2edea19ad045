"""Reads amounts of money, which always know their currency."""

import re
from dataclasses import dataclass
from decimal import Decimal

from dossier.quantities.currency import CURRENCIES, LIKELY, SIGNS
from dossier.quantities.number import NUMBER, read_number
from dossier.quantities.text import Source, plain

_AMOUNT = re.compile(rf"(?P<before>[^0-9.,+-]*)(?P<number>{NUMBER})(?P<after>[^0-9]*)")
_GROUP = re.compile(r"[0-9]{1,3}\.[0-9]{3}")  # a thousand, as much of Europe writes it
_SIGNED = re.compile(r"(?P<minus>[+-])\s*(?P<rest>[^0-9.,+\s-].*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Money:
    """An amount with all the decimals of its currency, which is three letters of ISO 4217."""

    amount: Decimal
    currency: str


def parse_currency(text: str) -> str:
    """Read the three letters of a currency, in any case. Raises QuantityError."""
    return _code(plain(text))


def parse_money(text: str, default: str | None = None) -> Money:
    """Read an amount: `40 USD`, `USD 40`, `6.50`, and `$40` where the default is a dollar.

    A bare number is in the `default` currency, if there is one. `1,000 USD` is a thousand. Raises
    QuantityError, also for more decimals than the currency has and for another currency's sign.
    """
    source = plain(text)
    if not source.text:
        raise source.error("The amount is missing.", f"Write it like 40 {default or 'USD'}.")
    signed = _SIGNED.fullmatch(source.text)
    amount = source.part(signed.start("rest")) if signed else source
    match = _AMOUNT.fullmatch(amount.text)
    if match is None:
        raise source.error(
            f"{source.quoted} is not an amount of money.", f"Write it like 40 {default or 'USD'}."
        )
    number = amount.part(match.start("number"), match.end("number"))
    names = [
        name
        for name in (amount.part(*match.span("before")), amount.part(*match.span("after")))
        if name.text
    ]
    currency = _currency(source, number, names, default)
    value = _amount(source, number, currency)
    return Money(-value if signed and signed["minus"] == "-" and value else value, currency)


def _currency(source: Source, number: Source, names: list[Source], default: str | None) -> str:
    """Settle the currency of `$40 CAD`, `40 USD`, `£40` or a bare number."""
    letters = [name for name in names if not _meanings(name.text)]
    signs = [name for name in names if _meanings(name.text)]
    if len(letters) > 1 or len(signs) > 1:
        raise source.error(
            f"{source.quoted} names two currencies.", f"Write it like {number.text} USD."
        )
    if letters:
        currency = _code(letters[0], default)
    elif default is None:
        raise source.error(
            f"{source.quoted} does not say which currency.", f"Write it like {number.text} USD."
        )
    else:
        currency = default
    for sign in signs:
        meanings = _meanings(sign.text)
        if currency not in meanings:
            raise sign.error(
                f"{sign.quoted} is not the sign of {currency}.",
                f"Write {number.text} {currency}, or {number.text} {meanings[0]} if that is meant.",
            )
    return currency


def _meanings(sign: str) -> tuple[str, ...]:
    return next((currencies for known, currencies in SIGNS if known == sign), ())


def _code(source: Source, default: str | None = None) -> str:
    code = source.text.upper()
    if code in CURRENCIES:
        return code
    near = _near(code, default)
    raise source.error(
        f"{source.quoted} is not a currency of ISO 4217.",
        f"Did you mean {near[0]}?" if near else "Write its three letters, such as USD or EUR.",
        near[0] if len(near) == 1 else "",
    )


def _near(code: str, default: str | None) -> list[str]:
    """The currencies that three letters may be meant for: the shop's and likely ones, a slip away.

    With one letter changed, three letters become half a dozen currencies from all over the world.
    """
    likely = (default, *LIKELY) if default else LIKELY
    slips = (_one_replaced, _two_swapped)
    return list(dict.fromkeys(one for slip in slips for one in likely if slip(code, one)))


def _one_replaced(code: str, known: str) -> bool:
    return len(code) == 3 and sum(a != b for a, b in zip(code, known, strict=True)) == 1


def _two_swapped(code: str, known: str) -> bool:
    return len(code) == 3 and known in (code[1] + code[0] + code[2], code[0] + code[2] + code[1])


def _amount(source: Source, number: Source, currency: str) -> Decimal:
    decimals = CURRENCIES[currency]
    value = read_number(number, thousands=decimals < 3)
    exact = value.quantize(Decimal(1).scaleb(-decimals))
    grouped = decimals < 3 and _GROUP.fullmatch(number.text)
    if exact != value or grouped:
        has = f"{decimals} decimals" if decimals else "no decimals"
        hint = f"Write {exact} {currency}."
        if grouped:
            hint = f"Write {number.text.replace('.', '')} {currency} or {exact} {currency}."
        raise source.error(f"{source.quoted} has too many decimals: {currency} has {has}.", hint)
    return exact
