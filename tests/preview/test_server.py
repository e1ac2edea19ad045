"""The preview's server on the loopback: what it serves, and to whom."""

from collections.abc import Iterator
from contextlib import closing
from datetime import date
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest

from dossier.charts.engine import engine_name
from dossier.preview import PortTakenError, Preview
from dossier.preview.site import Pages, Workbench
from dossier.render import lost

PAGE = b"<!doctype html><html><head><title>Heron</title></head><body><p>Tuned.</p></body></html>"


@pytest.fixture
def preview(tmp_path: Path) -> Iterator[Preview]:
    (tmp_path / "secret.md").write_text("the key is below the mat", "utf-8")
    bench = Workbench(tmp_path, tmp_path / "preview", 1)
    bench.pages = Pages(
        files={
            "bench/index.html": PAGE,
            "public/marsh/index.html": PAGE,
            "bench/mark.svg": b"<svg/>",
        },
        clients={"marsh": "Nell Marsh"},
        not_found=PAGE,
    )
    shown = Preview(bench, lambda: date(2026, 6, 1), stand="one")
    shown.open()
    yield shown
    shown.close()


def ask(
    preview: Preview, path: str, method: str = "GET", headers: dict[str, str] | None = None
) -> tuple[HTTPResponse, str]:
    with closing(HTTPConnection("127.0.0.1", preview.port, timeout=10)) as connection:
        connection.putrequest(method, path, skip_host="Host" in (headers or {}))
        for name, value in (headers or {}).items():
            connection.putheader(name, value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer, answer.read().decode()


def test_a_page_is_served_with_the_preview_s_script_and_a_policy_of_its_own(
    preview: Preview,
) -> None:
    answer, text = ask(preview, "/bench/index.html")
    assert answer.status == 200
    assert "<p>Tuned.</p>" in text
    assert '<script src="/~preview/reload.js" data-stand="one" defer></script>' in text
    assert answer.headers["Content-Security-Policy"] == (
        f"default-src 'none'; style-src 'self' {lost.SOURCE}; img-src 'self'; "
        "media-src 'self'; font-src 'self'; "
        "script-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
        "connect-src 'self'"
    )
    assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_address_alone_leads_to_the_bench_and_a_folder_to_its_page(preview: Preview) -> None:
    for path, target in (("/", "/bench/index.html"), ("/public/marsh", "/public/marsh/index.html")):
        answer, _ = ask(preview, path)
        assert (answer.status, answer.headers["Location"]) == (302, target)


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.md",
        "/bench/../../secret.md",
        "/bench/%2e%2e/%2e%2e/secret.md",
        "/bench/..%2f..%2fsecret.md",
        "/%2e%2e%5csecret.md",
        "//etc/passwd",
        "/bench//etc/passwd",
        "/~preview/../server.py",
        "/~preview/server.py",
        "/secret.md",
        "/bench/index.html/",
        "/bench/index.html%00.png",
        "/bench/%ff",
    ],
)
def test_nothing_but_its_own_pages_is_served(preview: Preview, path: str) -> None:
    answer, text = ask(preview, path)
    assert answer.status == 404, path
    assert "mat" not in text
    assert "root:" not in text


def test_a_link_that_leads_out_of_the_notes_is_not_followed(
    preview: Preview, tmp_path: Path
) -> None:
    (tmp_path / "bench").mkdir()
    (tmp_path / "bench" / "out.html").symlink_to("/etc/passwd")
    assert ask(preview, "/bench/out.html")[0].status == 404


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "rebound.example"},
        {"Host": "rebound.example:80"},
        {"Host": "127.0.0.1"},
        {"Host": "127.0.0.1.rebound.example"},
        {"Origin": "https://elsewhere.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_no_other_name_and_no_other_site_is_answered(
    preview: Preview, headers: dict[str, str]
) -> None:
    answer, text = ask(preview, "/bench/index.html", headers=headers)
    assert (answer.status, text) == (
        403,
        "The preview answers this machine's own browser alone, at the address that it printed.",
    )


def test_this_machine_s_own_name_is_answered(preview: Preview) -> None:
    own = {"Host": f"localhost:{preview.port}", "Origin": f"http://localhost:{preview.port}"}
    assert ask(preview, "/bench/index.html", headers=own)[0].status == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_it_takes_nothing_in(preview: Preview, method: str) -> None:
    assert ask(preview, "/bench/index.html", method)[0].status == 501


def test_the_head_alone_has_no_page_below_it(preview: Preview) -> None:
    answer, text = ask(preview, "/bench/index.html", "HEAD")
    assert (answer.status, text) == (200, "")


def test_it_listens_on_the_loopback_alone(preview: Preview) -> None:
    assert preview._server is not None
    assert preview._server.server_address[0] == "127.0.0.1"


def test_a_taken_port_is_said(preview: Preview, tmp_path: Path) -> None:
    second = Preview(Workbench(tmp_path, tmp_path / "two", 1), lambda: date(2026, 6, 1))
    second.port = preview.port
    with pytest.raises(PortTakenError) as error:
        second.open()
    assert str(error.value) == (
        f"Port {preview.port} is taken or not yours to open. Leave --port out for a free one."
    )


def test_what_draws_charts_in_a_browser_is_served_beside_the_pages(preview: Preview) -> None:
    for folder in ("bench", "public"):
        answer, text = ask(preview, f"/{folder}/assets/{engine_name()}")
        assert (answer.status, answer.headers["Content-Type"]) == (
            200,
            "text/javascript; charset=utf-8",
        )
        assert "window.vegaEmbed=" in text
