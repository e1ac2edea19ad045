"""What `dossier verify` says of what came back, and that no byte changes without its notice."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from dossier.publish import standing
from dossier.publish.bag import sum_list
from dossier.publish.seal import opened
from dossier.publish.signing import sign_pdf
from dossier.publish.standing import sum_of
from dossier.publish.verdict import State, in_groups
from dossier.publish.verify import verify
from tests.build.small_shop import TODAY, small_shop
from tests.publish.statement import (
    MOMENT,
    certificate,
    fingerprint,
    identity,
    issue_folder,
    key_pem,
    pem_of,
    rsa_key,
    small_files,
    small_pdf,
    with_byte,
)

EDITION = "It is the sale edition no. 1 of heron, issued on 2026-11-25 with dossier 0.1.0."
SIGNED = (
    "statement.pdf was signed by “Ines Alder, Alder & Reed” on 2026-11-25 at 12:00 UTC by their "
    "own clock, and not a byte of it changed since."
)
NOT_ISSUED = (
    "There is no manifest.json in it: either it is no issued folder, or the manifest was taken "
    "away, and its files can't be compared with what was issued."
)
CHANGED_MANIFEST = (
    "manifest.json was changed: its seal does not agree with what it says. What it says of the "
    "files can't be relied on."
)
SHOWS_CHANGED = (
    "This shows that what you hold is not, byte for byte, what was issued.",
    (
        "It does not show who changed it, or why: a slip of the hand or a broken download looks "
        "like a forgery."
    ),
)


@pytest.fixture(scope="module")
def signed() -> bytes:
    return sign_pdf(small_pdf(), identity(), MOMENT)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return issue_folder(tmp_path, small_files(small_pdf()))


@pytest.fixture
def signed_folder(tmp_path: Path, signed: bytes) -> Path:
    return issue_folder(tmp_path, small_files(signed))


@pytest.fixture
def bag(tmp_path: Path, signed: bytes) -> Path:
    return issue_folder(tmp_path, small_files(signed), bagged=True)


def run(*arguments: Path | str) -> Result:
    return CliRunner().invoke(main, ["verify", *map(str, arguments)])


def seal_of(folder: Path) -> str:
    return opened((folder / "manifest.json").read_bytes()).seal


def unknown_certificate() -> str:
    return (
        "Its certificate is not known to be anyone's: it was made by its own holder, and anyone "
        "can make one in any name. Compare its fingerprint with the one that the technician gives "
        f"you: {in_groups(fingerprint(identity().certificate))}."
    )


def sums_agree(folder: Path) -> str:
    return (
        "All 4 files agree with the manifest, and the manifest with its seal: "
        f"{in_groups(seal_of(folder))}."
    )


def changed(path: Path) -> tuple[str, ...]:
    """What is said of a changed folder, without what is said of its edition."""
    verdict = verify(path)
    assert verdict.state is State.CHANGED
    assert verdict.shows == SHOWS_CHANGED
    return tuple(said for said in verdict.said if said != EDITION)


def test_a_folder_as_it_was_issued_is_whole(folder: Path) -> None:
    result = run(folder)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.splitlines() == [
        f"{folder}: whole",
        f"  {EDITION}",
        f"  {sums_agree(folder)}",
        "  This shows that what you hold is, byte for byte, what the manifest was made for.",
        (
            "  It does not show who made it, or that what it says is true: whoever changes a file "
            "can make a new manifest too, so compare the seal with the one that the workshop has."
        ),
    ]
    assert run(folder / "manifest.json").stdout == result.stdout


def test_a_signed_folder_says_by_whom_and_when(signed_folder: Path) -> None:
    verdict = verify(signed_folder)
    assert verdict.state is State.WHOLE
    assert verdict.said == (EDITION, sums_agree(signed_folder), SIGNED, unknown_certificate())
    assert verdict.shows == (
        (
            "This shows that what you hold is, byte for byte, what the manifest was made for, and "
            "that the PDF is what was signed with the key of that certificate."
        ),
        (
            "It does not show whose certificate it is, unless the technician told you its "
            "fingerprint, nor that what it says is true; the other files are not signed, so "
            "compare the seal as well."
        ),
    )


def test_a_bag_as_it_was_issued_is_whole(bag: Path) -> None:
    verdict = verify(bag)
    assert (verdict.kind, verdict.state) == ("bag", State.WHOLE)
    assert verdict.said == (
        EDITION,
        sums_agree(bag / "data"),
        SIGNED.replace("statement.pdf", "data/statement.pdf", 1),
        unknown_certificate(),
    )
    assert verify(bag / "bagit.txt") == verdict


def test_each_way_in_which_a_folder_can_change_is_named(folder: Path) -> None:
    (folder / "history.json").write_bytes(b"{}")
    (folder / "index.html").unlink()
    (folder / "note.txt").write_bytes(b"hello")
    (folder / "assets/site-1.css").rename(folder / "site.css")
    (folder / "assets").rmdir()
    (folder / "new/deep").mkdir(parents=True)
    (folder / "new/deep/x").write_bytes(b"x")
    (folder / "new/empty").mkdir()
    assert changed(folder) == (
        "Missing: index.html.",
        "Altered: history.json.",
        "Renamed: site.css (issued as assets/site-1.css).",
        "Added, and no part of what was issued: new/deep/x, note.txt, new/empty/.",
    )
    assert run(folder).exit_code == 1


def test_two_files_that_changed_places_are_told(folder: Path) -> None:
    (folder / "index.html").rename(folder / "x")
    (folder / "history.json").rename(folder / "index.html")
    (folder / "x").rename(folder / "history.json")
    assert changed(folder) == (
        (
            "Altered: history.json (it holds what was issued as index.html), index.html (it holds "
            "what was issued as history.json)."
        ),
    )


def test_a_folder_without_its_manifest_shows_nothing(signed_folder: Path) -> None:
    (signed_folder / "manifest.json").unlink()
    verdict = verify(signed_folder)
    assert verdict.state is State.UNKNOWN
    assert verdict.said == (NOT_ISSUED, SIGNED, unknown_certificate())
    assert verdict.shows == (
        "This shows nothing, neither for what you hold nor against it.",
        "Ask the workshop for the whole folder with its manifest, or for a signed PDF.",
    )
    assert run(signed_folder).exit_code == 1


def test_a_changed_manifest_is_noticed_before_its_files(folder: Path) -> None:
    path = folder / "manifest.json"
    path.write_bytes(path.read_bytes().replace(b"heron", b"swift"))
    assert changed(folder) == (CHANGED_MANIFEST,)


def test_a_manifest_made_anew_has_another_seal(tmp_path: Path, folder: Path) -> None:
    """What the sums can't show, the seal does that the workshop reads out."""
    seal = seal_of(folder)
    forged = issue_folder(tmp_path / "b", {**small_files(small_pdf()), "history.json": b"{}"})
    assert verify(forged).state is State.WHOLE
    verdict = verify(forged, seal)
    assert verdict.state is State.ANOTHER
    assert verdict.said[-1] == (
        f"Neither its seal nor its certificate is the one that you named: {in_groups(seal)}."
    )
    assert run(forged, "--expect", seal).exit_code == 1
    assert verify(folder, seal).said[-1] == "Its seal is the one that you named."


@pytest.mark.parametrize(
    "data", [b"[" * 100_000, b"{}", b'{"files": {"../x": 3}, "seal": ""}', b""]
)
def test_a_hostile_manifest_is_told_in_a_sentence(folder: Path, data: bytes) -> None:
    (folder / "manifest.json").write_bytes(data)
    (said,) = changed(folder)
    assert said.startswith("manifest.json ")
    assert said.endswith(" What it says of the files can't be relied on.")


def test_a_link_is_never_followed(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    shutil.copy(folder / "index.html", outside / "index.html")
    (folder / "index.html").unlink()
    (folder / "index.html").symlink_to(outside / "index.html")
    (folder / "more").symlink_to(outside)
    (folder / "round").symlink_to(folder)
    (folder / "gone").symlink_to(tmp_path / "nowhere")
    assert changed(folder) == (
        "Not read: gone (is a link), index.html (is a link), more (is a link), round (is a link).",
    )


def test_a_manifest_that_is_a_link_is_not_read(folder: Path, tmp_path: Path) -> None:
    (folder / "manifest.json").rename(tmp_path / "m")
    (folder / "manifest.json").symlink_to(tmp_path / "m")
    assert changed(folder) == ("manifest.json is a link.",)


def test_a_pipe_stops_nothing(folder: Path) -> None:
    os.mkfifo(folder / "pipe")
    (folder / "index.html").unlink()
    os.mkfifo(folder / "index.html")
    assert changed(folder) == ("Not read: index.html (is no plain file), pipe (is no plain file).",)


def test_a_file_that_can_not_be_read_is_named(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opening = os.open

    def closed(path: Path, *arguments: int) -> int:
        if str(path).endswith("index.html"):
            raise PermissionError(13, "Permission denied")
        return opening(path, *arguments)

    monkeypatch.setattr(os, "open", closed)
    assert changed(folder) == ("Not read: index.html (can't be read (permission denied)).",)
    result = run(folder / "index.html")
    assert (result.exit_code, result.stderr) == (
        2,
        f"dossier: {folder / 'index.html'} can't be read (permission denied).\n",
    )


def test_a_file_too_large_to_have_been_issued_is_not_read(folder: Path) -> None:
    with (folder / "statement.pdf").open("r+b") as stream:
        stream.truncate(10**12)  # a hole, which takes up no room
    assert changed(folder) == (
        "Not read: statement.pdf (is larger than any file that is issued (512 MiB)).",
    )


def test_far_too_many_files_are_not_all_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(standing, "COUNT_LIMIT", 50)
    (folder / "more").mkdir()
    for number in range(60):
        (folder / f"more/{number:02}").touch()
    assert changed(folder) == (
        "It holds far more files than any issued folder, and not all were looked at.",
    )


def test_a_long_list_of_names_is_cut(folder: Path) -> None:
    for number in range(25):
        (folder / f"{number:02}").touch()
    (said,) = changed(folder)
    assert said.startswith("Added, and no part of what was issued: 00, 01, ")
    assert said.endswith(", 18, 19 and 5 more.")


def test_folders_without_end_stop_nothing(folder: Path) -> None:
    place = os.open(folder, os.O_RDONLY)
    for _ in range(1500):
        os.mkdir("d", dir_fd=place)
        inner = os.open("d", os.O_RDONLY, dir_fd=place)
        os.close(place)
        place = inner
    os.close(place)
    (said,) = changed(folder)
    assert said.startswith("Added, and no part of what was issued: d/d/d/")
    # Python's own way of removing them goes as deep as they do.
    subprocess.run(["rm", "-r", folder / "d"], check=True)


def test_odd_names_are_written_so_that_they_can_be_printed(folder: Path) -> None:
    for name in (b"\x1b[2Jred", b"\xff", "txt.\u202egpj".encode(), b"two\nlines", "♯ ♭".encode()):
        (folder / os.fsdecode(name)).touch()
    result = run(folder)
    assert result.exit_code == 1
    assert (
        "Added, and no part of what was issued: \\x1b[2Jred, two\\nlines, txt.\\u202egpj, ♯ ♭, "
        "\\udcff."
    ) in result.stdout
    assert json.loads(run(folder, "--json").stdout)["verdicts"][0]["added"][-1] == "\\udcff"


def test_a_name_that_a_disk_wrote_in_two_parts_is_the_same_name(tmp_path: Path) -> None:
    name = unicodedata.normalize("NFC", "Prélude ♯.svg")
    files = {**small_files(small_pdf()), f"assets/{name}": b"<svg/>"}
    folder = issue_folder(tmp_path, files)
    (folder / "assets" / name).rename(folder / "assets" / unicodedata.normalize("NFD", name))
    assert verify(folder).state is State.WHOLE


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            lambda bag: (bag / "data/index.html").write_bytes(b""),
            ("Altered: data/index.html.",),
        ),
        (
            lambda bag: (bag / "bag-info.txt").write_bytes(b"Contact-Name: Nobody\n"),
            ("Altered: bag-info.txt.",),
        ),
        (lambda bag: (bag / "fetch.txt").touch(), (
            "Added, and no part of what was issued: fetch.txt.",
        )),
        (
            lambda bag: (bag / "tagmanifest-sha256.txt").unlink(),
            (
                "tagmanifest-sha256.txt is missing.",
                ("Added, and no part of what was issued: bag-info.txt, bagit.txt, "
                "manifest-sha256.txt."),
            ),
        ),
        (lambda bag: (bag / "bagit.txt").unlink(), ("Missing: bagit.txt.",)),
        (
            lambda bag: (bag / "data/manifest.json").unlink(),
            ("manifest.json is missing.", "Missing: data/manifest.json."),
        ),
    ],
)  # fmt: skip
def test_what_changed_in_a_bag_is_named(
    bag: Path, change: Callable[[Path], object], said: tuple[str, ...]
) -> None:
    change(bag)
    assert changed(bag)[: len(said)] == said


def test_a_bag_whose_lists_were_made_anew_still_disagrees_with_its_manifest(bag: Path) -> None:
    (bag / "data/index.html").write_bytes(b"forged")
    payload = {
        path.relative_to(bag).as_posix(): sum_of(path)
        for path in (bag / "data").rglob("*")
        if path.is_file()
    }
    (bag / "manifest-sha256.txt").write_bytes(sum_list(payload))
    names = ("bag-info.txt", "bagit.txt", "manifest-sha256.txt")
    tags = {name: sum_of(bag / name) for name in names}
    (bag / "tagmanifest-sha256.txt").write_bytes(sum_list(tags))
    assert changed(bag)[:2] == (
        "manifest-sha256.txt and data/manifest.json do not name the same files with the same sums.",
        "Altered: data/index.html.",
    )


def noticed(root: Path, count: int, dice: random.Random) -> int:
    """How many of so many single-byte changes to files of a folder are noticed, each by itself."""
    files = [path for path in sorted(root.rglob("*")) if path.is_file()]
    assert len(files) > 4
    caught = 0
    for number in range(count):
        path = files[number % len(files)]
        data = path.read_bytes()
        path.write_bytes(with_byte(data, dice.randrange(len(data)), dice.randrange(256)))
        caught += run(root).exit_code == 1
        path.write_bytes(data)
    assert run(root).exit_code == 0
    return caught


def test_single_bytes_are_noticed_anywhere(signed_folder: Path) -> None:
    assert noticed(signed_folder, 40, random.Random(5)) == 40


@pytest.mark.audit
@pytest.mark.long
@pytest.mark.slow
@pytest.mark.parametrize("kind", ["folder", "bag"])
def test_500_single_bytes_are_noticed_anywhere(
    kind: str, signed_folder: Path, tmp_path: Path, signed: bytes
) -> None:
    bag = issue_folder(tmp_path / "bag", small_files(signed), bagged=True)
    root = bag if kind == "bag" else signed_folder
    assert noticed(root, 500, random.Random(6)) == 500


def test_a_signed_pdf_alone_is_whole_and_one_byte_later_changed(
    tmp_path: Path, signed: bytes
) -> None:
    path = tmp_path / "statement.pdf"
    path.write_bytes(signed)
    verdict = verify(path)
    assert (verdict.kind, verdict.state) == ("PDF", State.WHOLE)
    assert verdict.said == (SIGNED, unknown_certificate())
    assert verdict.shows == (
        (
            "This shows that not a byte of the PDF changed since it was signed with the key of "
            "that certificate."
        ),
        (
            "It does not show whose certificate it is, unless the technician told you its "
            "fingerprint, nor that the date is right or that what the statement says is true."
        ),
    )
    dice = random.Random(7)
    for place in dice.sample(range(len(signed)), 40):
        path.write_bytes(with_byte(signed, place, dice.randrange(256)))
        changed(path)
    path.write_bytes(signed + b"%\n")
    (said,) = changed(path)
    assert said == (
        "statement.pdf was signed by “Ines Alder, Alder & Reed”, and was changed since. "
        "2 bytes were added behind what was signed."
    )


def test_the_fingerprint_that_the_technician_told_is_compared(
    tmp_path: Path, signed: bytes
) -> None:
    path = tmp_path / "statement.pdf"
    path.write_bytes(signed)
    right = fingerprint(identity().certificate)
    colons = ":".join(right[place : place + 2] for place in range(0, 64, 2))
    for written in (right, right.upper(), in_groups(right), colons):
        result = run(path, "--expect", written)
        assert result.exit_code == 0
        assert "  Its certificate is the one whose fingerprint you named.\n" in result.stdout
    forged = sign_pdf(small_pdf(), identity(rsa_key(1)), MOMENT)
    path.write_bytes(forged)
    assert verify(path).state is State.WHOLE  # in the same name, which anyone can write
    result = run(path, "--expect", right)
    assert result.exit_code == 1
    assert result.stdout.startswith(f"{path}: NOT THE ONE YOU EXPECT\n")
    assert run(path, "--expect", "12 34").exit_code == 2


def test_an_unsigned_pdf_alone_shows_nothing(tmp_path: Path) -> None:
    path = tmp_path / "statement.pdf"
    path.write_bytes(small_pdf())
    verdict = verify(path)
    assert verdict.state is State.UNKNOWN
    assert verdict.said == (
        (
            "There is nothing to check it against: it is not signed, and no manifest that names it "
            "lies beside it."
        ),
    )
    path.with_name("statement.zip").write_bytes(b"PK\x03\x04...")
    assert verify(path.with_name("statement.zip")).said == (
        (
            "There is nothing to check it against: no manifest that names it lies beside it. It is "
            "a packed folder: unpack it first."
        ),
    )


def test_a_file_is_compared_with_the_manifest_beside_it(folder: Path) -> None:
    agrees = (
        "It agrees with the manifest beside it, and the manifest with its seal: "
        f"{in_groups(seal_of(folder))}."
    )
    assert verify(folder / "statement.pdf").said == (EDITION, agrees)
    (folder / "index.html").rename(folder / "page.html")
    renamed = verify(folder / "page.html")
    assert renamed.state is State.WHOLE
    assert renamed.said == (EDITION, "It was issued as index.html, and is whole.")
    (folder / "statement.pdf").write_bytes((folder / "page.html").read_bytes())
    assert changed(folder / "statement.pdf") == (
        "Altered: statement.pdf (it holds what was issued as index.html).",
    )
    (folder / "stranger.pdf").write_bytes(b"%PDF-1.7")
    assert verify(folder / "stranger.pdf").state is State.UNKNOWN
    (folder / "manifest.json").write_bytes(b"{}")
    assert verify(folder / "page.html").state is State.CHANGED


def test_a_file_in_a_bag_is_compared_with_the_manifest_beside_it(bag: Path) -> None:
    assert verify(bag / "data/index.html").state is State.WHOLE


def test_without_the_library_a_signature_is_left_open(
    signed_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)  # noqa: ARG005
    verdict = verify(signed_folder)
    assert verdict.state is State.WHOLE
    assert verdict.said[-1] == (
        "statement.pdf is signed, which can't be checked here. Signatures need the library "
        "pyhanko, which is not installed here. "
        'Install it with: pip install "pyhanko>=0.38,<0.39"'
    )
    (signed_folder / "manifest.json").unlink()
    assert verify(signed_folder / "statement.pdf").state is State.UNKNOWN


def test_several_are_told_one_after_the_other(folder: Path, tmp_path: Path, signed: bytes) -> None:
    path = tmp_path / "alone.pdf"
    path.write_bytes(signed + b"x")
    result = run(folder, path)
    assert result.exit_code == 1
    assert f"{folder}: whole\n" in result.stdout
    assert f"{path}: CHANGED\n" in result.stdout
    assert f"{folder}: whole\n" not in run("--quiet", folder, path).stdout
    assert run("--quiet", folder).stdout == ""


def test_machines_read_the_same(signed_folder: Path) -> None:
    (signed_folder / "index.html").write_bytes(b"x")
    result = run(signed_folder, "--json")
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    (verdict,) = told["verdicts"]
    assert not told["whole"]
    assert {key: verdict[key] for key in ("kind", "state", "missing", "added", "altered")} == {
        "kind": "folder", "state": "changed", "missing": [], "added": [],
        "altered": {"index.html": ""},
    }  # fmt: skip
    assert verdict["issued"]["issued"] == "2026-11-25"
    assert verdict["seal"] == seal_of(signed_folder)
    assert verdict["signatures"] == [
        {
            "file": "statement.pdf",
            "whole": True,
            "fault": "",
            "signer": "Ines Alder, Alder & Reed",
            "issuer": "",
            "fingerprint": fingerprint(identity().certificate),
            "signed": "2026-11-25T12:00:00+00:00",
        }
    ]


def test_what_is_not_there_is_wrong_use(tmp_path: Path) -> None:
    result = run(tmp_path / "none")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"dossier: There is no {tmp_path / 'none'}.\n"
    assert run().exit_code == 2


def test_help_shows_an_example() -> None:
    result = run("--help")
    assert result.exit_code == 0
    assert "Example:  dossier verify build/issued/heron-sale-2026-11-25" in result.stdout


@pytest.mark.slow
def test_what_is_issued_and_signed_is_whole(tmp_path: Path) -> None:
    shop = small_shop(tmp_path)
    (tmp_path / "cert.pem").write_bytes(pem_of(certificate(rsa_key())))
    (tmp_path / "key.pem").write_bytes(key_pem(rsa_key(), b"sesame"))
    (tmp_path / "words").write_bytes(b"sesame\n")
    common = ["issue", "heron", "--edition", "sale", "--content", str(shop.content)]
    common += ["--out", str(shop.out), "--state", str(shop.state), "--today", TODAY.isoformat()]
    sign = ["--sign", str(tmp_path / "cert.pem"), "--key", str(tmp_path / "key.pem")]
    refused = CliRunner().invoke(main, [*common, *sign])
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert refused.stderr == (
        f"dossier: {tmp_path / 'key.pem'} is locked. Name the file with its passphrase by "
        "--passphrase-file.\n"
    )
    assert not (shop.out / "issued").exists()
    issued = CliRunner().invoke(
        main, [*common, *sign, "--passphrase-file", str(tmp_path / "words")]
    )
    assert (issued.exit_code, issued.stderr) == (0, "")
    (folder,) = (shop.out / "issued").iterdir()
    verdict = verify(folder, fingerprint(certificate(rsa_key())))
    assert verdict.state is State.WHOLE
    assert verdict.said[-1] == "Its certificate is the one whose fingerprint you named."
    unsaid = CliRunner().invoke(main, [*common, "--key", str(tmp_path / "key.pem")])
    assert (unsaid.exit_code, unsaid.stderr) == (2, "dossier: Name the certificate by --sign.\n")
