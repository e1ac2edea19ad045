"""Whether an issued folder, a bag or a single file is what was issued, told without any network."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from dossier.publish import bag, seal
from dossier.publish.comparison import Changes, changes, holder_of
from dossier.publish.identity import SigningError
from dossier.publish.seal import MANIFEST, Manifest, SealError
from dossier.publish.signature import Signature, UnreadableError, has_traces
from dossier.publish.signing import signatures_of
from dossier.publish.standing import (
    RefusedError,
    Standing,
    bytes_of_file,
    open_plain,
    sum_of,
    survey,
)
from dossier.publish.verdict import (
    State,
    Verdict,
    in_groups,
    shown,
    shows,
    told,
)


class WrongUseError(RuntimeError):
    """Why nothing could be looked at, as a sentence."""


@dataclass(frozen=True, slots=True)
class _Look:
    """What was found so far; it grows as more is looked at."""

    kind: str
    state: State = State.WHOLE
    said: tuple[str, ...] = ()
    manifest: Manifest | None = None
    changes: Changes = field(default_factory=Changes)
    signatures: Mapping[str, tuple[Signature, ...]] = field(default_factory=dict)

    def saying(self, *said: str, state: State | None = None) -> _Look:
        """The same with more said; what was found changed stays so."""
        worse = state if state and self.state is not State.CHANGED else self.state
        return replace(self, said=(*self.said, *said), state=worse)


def verify(path: Path, expected: str = "") -> Verdict:
    """What can be said of an issued folder, of a bag, or of one file out of either.

    `expected` is what the workshop told of it: the SHA-256 fingerprint of its certificate, or the
    seal of the manifest, in small hexadecimal digits; empty where neither is known.

    Raises WrongUseError where nothing stands at that path, or it can't be read.
    """
    if path.name in {MANIFEST, bag.DECLARATION}:
        path = path.parent
    if not os.path.lexists(path):
        raise WrongUseError(f"There is no {shown(str(path))}.")
    look = _look_at_folder(path) if path.is_dir() else _look_at_file(path)
    look = _as_expected(look, expected)
    manifest = look.manifest
    return Verdict(
        path=str(path),
        kind=look.kind,
        state=look.state,
        said=look.said,
        shows=shows(look.state, sealed=manifest is not None, signed=bool(look.signatures)),
        facts=manifest.facts if manifest else {},
        seal=manifest.seal if manifest else "",
        changes=look.changes,
        signatures=look.signatures,
    )


def _look_at_folder(root: Path) -> _Look:
    # A folder with neither is not walked: it may be anything, and large.
    if any((root / name).is_file() for name in (bag.DECLARATION, bag.TAG_SUMS, bag.PAYLOAD_SUMS)):
        look, standing = _look_at_bag(root)
    elif os.path.lexists(root / MANIFEST):
        standing = survey(root)
        look = _with_manifest(_Look("folder"), root / MANIFEST)
        if look.manifest:
            look = _compared(look, look.manifest.files, standing, MANIFEST)
    else:
        standing = survey(root) if (root / "statement.pdf").is_file() else Standing({}, {})
        look = _Look("folder").saying(
            f"There is no {MANIFEST} in it: either it is no issued folder, or the manifest was "
            "taken away, and its files can't be compared with what was issued.",
            state=State.UNKNOWN,
        )
    pdfs = [path for path in sorted(standing.sums) if path.lower().endswith(".pdf")]
    if look.manifest:
        pdfs = [path for path in pdfs if path not in look.changes.added]
    return _with_signatures(look, {path: root / path for path in pdfs})


def _look_at_bag(root: Path) -> tuple[_Look, Standing]:
    standing = survey(root)
    look, tags = _with_list(_Look("bag"), root, bag.TAG_SUMS)
    look, payload = _with_list(look, root, bag.PAYLOAD_SUMS)
    inner = f"{bag.PAYLOAD}{MANIFEST}"
    look = _with_manifest(look, root / inner)
    issued = {**payload, **tags}
    if look.manifest:
        listed = {path: sum_ for path, sum_ in payload.items() if path != inner}
        own = {f"{bag.PAYLOAD}{path}": sum_ for path, sum_ in look.manifest.files.items()}
        if listed != own:
            look = look.saying(
                f"{bag.PAYLOAD_SUMS} and {inner} do not name the same files with the same sums.",
                state=State.CHANGED,
            )
        issued = {**tags, inner: payload.get(inner, ""), **own}
    return _compared(look, issued, standing, bag.TAG_SUMS), standing


def _with_list(look: _Look, root: Path, name: str) -> tuple[_Look, dict[str, str]]:
    try:
        return look, bag.read_list(name, bytes_of_file(root / name))
    except RefusedError as error:
        reason = f"{name} {error}." if os.path.lexists(root / name) else f"{name} is missing."
    except bag.BagError as error:
        reason = str(error)
    return look.saying(reason, state=State.CHANGED), {}


def _with_manifest(look: _Look, path: Path) -> _Look:
    try:
        manifest = seal.opened(bytes_of_file(path))
    except RefusedError as error:
        reason = f"{MANIFEST} {error}." if os.path.lexists(path) else f"{MANIFEST} is missing."
        return look.saying(reason, state=State.CHANGED)
    except SealError as error:
        reason = f"{error} What it says of the files can't be relied on."
        return look.saying(reason, state=State.CHANGED)
    return replace(look, manifest=manifest, said=(*look.said, *_of_edition(manifest)))


def _of_edition(manifest: Manifest) -> Iterator[str]:
    wanted = ("number", "instrument", "edition", "issued", "program")
    if all(name in manifest.facts for name in wanted):
        number, instrument, edition, issued, program = (
            shown(str(manifest.facts[name])) for name in wanted
        )
        yield (
            f"It is the {edition} edition no. {number} of {instrument}, issued on {issued} "
            f"with {program}."
        )


def _compared(look: _Look, issued: Mapping[str, str], standing: Standing, own: str) -> _Look:
    """Compare what stands with what was issued; `own` is the list that can't list itself."""
    if standing.cut:
        return look.saying(
            "It holds far more files than any issued folder, and not all were looked at.",
            state=State.CHANGED,
        )
    found = changes(issued, standing, own)
    look = replace(look, changes=found)
    if found:
        return look.saying(*told(found), state=State.CHANGED)
    if not look.manifest or look.state is not State.WHOLE:
        return look
    count = len(look.manifest.files)
    files = "The one file agrees" if count == 1 else f"All {count} files agree"
    return look.saying(
        f"{files} with the manifest, and the manifest with its seal: "
        f"{in_groups(look.manifest.seal)}."
    )


def _look_at_file(path: Path) -> _Look:
    try:
        total = sum_of(path)
        with open_plain(path) as stream:
            head = stream.read(4)
    except RefusedError as error:
        raise WrongUseError(f"{shown(str(path))} {error}.") from error
    is_pdf = path.suffix.lower() == ".pdf" or head == b"%PDF"
    look = _Look("PDF" if is_pdf else "file", state=State.UNKNOWN)
    if os.path.lexists(path.parent / MANIFEST):
        look = _beside(look, path, total)
    if is_pdf:
        look = _with_signatures(look, {path.name: path})
    if look.state is State.UNKNOWN:
        hint = " It is a packed folder: unpack it first." if head == b"PK\x03\x04" else ""
        signed = "it is not signed, and " if is_pdf and not look.said else ""
        look = look.saying(
            f"There is nothing to check it against: {signed}no manifest that names it lies beside "
            f"it.{hint}"
        )
    return look


def _beside(look: _Look, path: Path, total: str) -> _Look:
    """What the manifest in the same folder says of a file."""
    read = _with_manifest(replace(look, state=State.WHOLE), path.parent / MANIFEST)
    if not read.manifest:
        return read
    issued = read.manifest.files
    if issued.get(path.name) == total:
        return read.saying(
            "It agrees with the manifest beside it, and the manifest with its seal: "
            f"{in_groups(read.manifest.seal)}."
        )
    if path.name in issued:
        found = Changes(altered={path.name: holder_of(total, issued)})
        return replace(read, changes=found).saying(*told(found), state=State.CHANGED)
    if name := holder_of(total, issued):
        return read.saying(f"It was issued as {shown(name)}, and is whole.")
    return look


def _with_signatures(look: _Look, pdfs: Mapping[str, Path]) -> _Look:
    for name, path in pdfs.items():
        try:
            data = bytes_of_file(path)
        except RefusedError:
            continue  # told already
        if not has_traces(data):
            continue
        try:
            found = signatures_of(data)
        except UnreadableError as error:
            look = look.saying(
                f"{shown(name)} was signed, and was changed or damaged since. {error}",
                state=State.CHANGED,
            )
        except SigningError as error:
            look = look.saying(f"{shown(name)} is signed, which can't be checked here. {error}")
        else:
            look = replace(look, signatures={**look.signatures, name: found})
            for one in found:
                look = _with_signature(look, name, one)
    return look


def _with_signature(look: _Look, name: str, one: Signature) -> _Look:
    who = f"“{shown(one.signer)}”"
    if one.fault:
        return look.saying(
            f"{shown(name)} was signed by {who}, and was changed since. {one.fault}",
            state=State.CHANGED,
        )
    when = f" on {one.signed:%Y-%m-%d at %H:%M} UTC by their own clock" if one.signed else ""
    late = (
        ""
        if one.in_time
        else f" That is not within the time for which the certificate is valid, "
        f"{one.valid_from.date()} to {one.valid_to.date()}."
    )
    look = look.saying(
        f"{shown(name)} was signed by {who}{when}, and not a byte of it changed since.{late}"
    )
    # A signature makes whole what has no manifest, but says nothing of a folder without one.
    return replace(look, state=State.WHOLE) if _only_signed(look) else look


def _only_signed(look: _Look) -> bool:
    return look.kind == "PDF" and look.state is State.UNKNOWN


def _as_expected(look: _Look, expected: str) -> _Look:
    """What is said of the certificates, and of what the workshop told, if anything."""
    every = [one for found in look.signatures.values() for one in found if not one.fault]
    known = {one.fingerprint for one in every}
    for one in {one.fingerprint: one for one in every}.values():
        if one.fingerprint == expected:
            look = look.saying("Its certificate is the one whose fingerprint you named.")
            continue
        made = (
            f"it was issued by “{shown(one.issuer)}”, of whom nothing is known here"
            if one.issuer
            else "it was made by its own holder, and anyone can make one in any name"
        )
        look = look.saying(
            f"Its certificate is not known to be anyone's: {made}. Compare its fingerprint with "
            f"the one that the technician gives you: {in_groups(one.fingerprint)}."
        )
    if not expected or look.state is not State.WHOLE:
        return look
    if look.manifest and look.manifest.seal == expected:
        return look.saying("Its seal is the one that you named.")
    if expected in known:
        return look
    return look.saying(
        f"Neither its seal nor its certificate is the one that you named: {in_groups(expected)}.",
        state=State.ANOTHER,
    )
