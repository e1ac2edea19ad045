import re
from pathlib import Path

import pytest

from dossier.publish.headers import HEADERS, MARK, POLICY, for_folder, for_public, for_servers
from dossier.publish.robots import ROBOTS, is_ours
from dossier.render import lost
from tests.publish.shop import TOKENS, Shop

TOKEN = re.compile("|".join(TOKENS.values()))


def test_hosts_that_read_a_file_get_the_headers_for_every_path() -> None:
    assert for_public().decode() == (
        "/*\n"
        "  Content-Security-Policy: default-src 'none'; style-src 'self' "
        f"{lost.SOURCE}; img-src 'self'; media-src 'self'; font-src 'self'; "
        "script-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'\n"
        "  Referrer-Policy: no-referrer\n"
        "  X-Content-Type-Options: nosniff\n"
        "  X-Robots-Tag: noindex, nofollow, noarchive, nosnippet\n"
        "  Cache-Control: no-store\n"
    )


def test_a_rented_web_space_gets_every_header_and_fails_shut() -> None:
    lines = for_folder().decode().splitlines()
    assert "Options -Indexes" in lines
    assert "ErrorDocument 404 /404.html" in lines
    assert [line for line in lines if line.startswith("Header")] == [
        f'Header always set {name} "{value}"' for name, value in HEADERS
    ]
    assert not [line for line in lines if line.startswith("<")]


def test_whoever_keeps_an_object_store_is_told_what_no_file_can_set() -> None:
    told = for_servers()["object-store.txt"].decode()
    for name, value in HEADERS:
        assert f'{name}: "{value}"' in told
    for rule in ("Let nobody list the store", "metadata with every object", "with the status 404"):
        assert rule in told


def test_the_folders_own_file_stands_in_what_is_staged_and_is_the_same_each_time(
    tmp_path: Path,
) -> None:
    shop = Shop(tmp_path)
    shop.published()
    file = shop.public / ".htaccess"
    assert file.read_bytes() == for_folder()
    file.write_bytes(b"Options +Indexes\n")
    shop.published()
    assert file.read_bytes() == for_folder()


@pytest.mark.parametrize("name", sorted(for_servers()))
def test_each_server_gets_every_header_and_no_list_of_the_folder(name: str) -> None:
    text = for_servers()[name].decode()
    assert text.startswith(f"{MARK}\n")
    for header, value in HEADERS:
        assert re.search(rf'^.*{header}.*"{re.escape(value)}".*$', text, re.MULTILINE), header
    assert not re.search(r"autoindex on|Options \+?Indexes|browse|\"enable\"", text)


def test_only_scripts_of_the_site_may_run_and_nothing_comes_from_elsewhere() -> None:
    assert POLICY.startswith("default-src 'none';")
    assert set(re.findall(r"'[^']*'|https?:\S*|\*|data:", POLICY)) == {
        "'none'", "'self'", lost.SOURCE,
    }  # fmt: skip
    assert "script-src 'self';" in POLICY


def test_search_engines_are_told_of_no_path() -> None:
    lines = [line for line in ROBOTS.decode().splitlines() if not line.startswith("#")]
    assert lines == ["User-agent: *", "Disallow: /"]


def test_no_address_stands_where_anyone_may_read_it(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.published()
    open_files = [path for path in shop.public.iterdir() if path.is_file()]
    open_files += (shop.places.out / "headers").iterdir()
    assert len(open_files) == 9
    assert [path for path in open_files if TOKEN.search(path.read_text())] == []


def test_a_snippet_of_ones_own_is_left_alone(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.published()
    own, ours = shop.places.out / "headers/nginx.conf", shop.places.out / "headers/apache.conf"
    own.write_text("# mine")
    ours.write_text(f"{MARK}\nof an older version")
    shop.published()
    assert own.read_text() == "# mine"
    assert ours.read_bytes() == for_servers()["apache.conf"]


def test_a_tree_of_ours_is_told_from_any_other(tmp_path: Path) -> None:
    assert not is_ours(tmp_path)
    assert not is_ours(tmp_path / "missing")
    (tmp_path / "robots.txt").write_bytes(b"User-agent: *\nDisallow:\n")
    assert not is_ours(tmp_path)
    (tmp_path / "robots.txt").write_bytes(ROBOTS)
    assert is_ours(tmp_path)
