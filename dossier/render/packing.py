"""Each object of a PDF written out once, and compressed at zlib's usual level.

pydyf writes and compresses all objects twice, for the file and for the sum in its identifier, and
at the highest level, which takes three times as long for 2 % (measured).
"""

from __future__ import annotations

import zlib
from typing import Any

from dossier.render.swaps import Swap


class _Packing:
    """Stands for zlib in pydyf; what was packed last is at hand for the sum."""

    def __init__(self) -> None:
        self._loose, self._packed = b"", zlib.compress(b"")

    def compressobj(self, level: int) -> _Packing:  # noqa: ARG002
        return self

    def compress(self, data: bytes) -> bytes:
        if data != self._loose:
            self._loose, self._packed = data, zlib.compress(data)
        return self._packed

    def flush(self) -> bytes:
        return b""


def packing() -> list[Swap]:
    """What is compressed twice in a row is so at once, and at the usual level."""
    import pydyf

    return [(vars(pydyf), "zlib", _Packing())]


def write_out(pdf: Any) -> None:
    """Put its bytes in each object's place; nothing of the objects can be changed after."""
    import pydyf

    class Written(pydyf.Object):  # type: ignore[misc]
        data, compressible = b"", True

    def written(made: Any) -> Written:
        one = Written()
        one.number, one.generation, one.free = made.number, made.generation, made.free
        one.compressible = made.compressible
        if made.free == "n":
            one.data = made.data
        return one

    pdf.objects[:] = map(written, pdf.objects)
