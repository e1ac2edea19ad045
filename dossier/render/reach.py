"""How a shop is reached, as links may carry it: nothing of what a note says can run or slip in."""

from __future__ import annotations

import re
from urllib.parse import quote

_ABROAD = re.compile(r"https://[^\s\"'<>\\]+")
_MAIL = re.compile(r"[^@\s]+@[^@\s]+")


def dialled(phone: str) -> str:
    """A telephone number as a link dials it: its digits, with the leading plus; "" for none."""
    digits = "".join(letter for letter in phone if letter.isascii() and letter.isdigit())
    if not digits:
        return ""
    return ("+" if phone.lstrip().startswith("+") else "") + digits


def addressed(email: str) -> str:
    """An email address as a link carries it, "" for what is none; no second field slips in."""
    return quote(email, safe="@+") if _MAIL.fullmatch(email) else ""


def abroad(address: str) -> str:
    """An address that may be linked, or "": only https, so that nothing of a note can run."""
    return address if _ABROAD.fullmatch(address) else ""
