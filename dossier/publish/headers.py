"""What a web server has to send with private pages, as files for the usual static hosts.

Tried with nginx 1.22.1, Apache 2.4.71 and lighttpd 1.4.69; the syntax of Caddy's, of `_headers` and
of `.htaccess` is from memory.  None of these files names a path of the site: anyone may read them.
"""

from __future__ import annotations

from collections.abc import Mapping

from dossier.render import lost

# The pages hold inline SVG, their own styles, fonts, pictures and scripts, none of them inline.
# One page, that of an address which opens nothing, holds its style within itself.
POLICY = (
    f"default-src 'none'; style-src 'self' {lost.SOURCE}; img-src 'self'; media-src 'self'; "
    "font-src 'self'; script-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)

HEADERS: tuple[tuple[str, str], ...] = (
    ("Content-Security-Policy", POLICY),
    ("Referrer-Policy", "no-referrer"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Robots-Tag", "noindex, nofollow, noarchive, nosnippet"),
    ("Cache-Control", "no-store"),
)

MARK = "# Written by dossier for the folder public/; a build writes it anew."
_ADDRESSES = "# The addresses are secret: no list of the folder, and no address in a log."


def for_public() -> bytes:
    """`_headers`, which several static hosts read from the root of the site."""
    return ("/*\n" + "".join(f"  {name}: {value}\n" for name, value in HEADERS)).encode()


def for_folder() -> bytes:
    """`.htaccess`, for a rented web space whose server reads one in the folder that it serves.

    Nothing in it is conditional: where the server can't send a header, it gives out no page.
    """
    told = (
        MARK,
        "# Where the server knows no mod_headers, or lets no folder set these, it answers 500 and",
        "# gives out nothing: ask the host for `AllowOverride FileInfo Options=Indexes`.",
        "Options -Indexes",
        "ErrorDocument 404 /404.html",
        *_set_always(),
        "",
    )
    return "\n".join(told).encode()


def for_servers() -> Mapping[str, bytes]:
    """A snippet for each common web server, to be put into its configuration of this site.

    For an object store, which has no configuration, it is a text that says what to set.
    """
    texts = {
        "apache.conf": _apache(),
        "caddy.conf": _caddy(),
        "lighttpd.conf": _lighttpd(),
        "nginx.conf": _nginx(),
        "object-store.txt": _object_store(),
    }
    return {name: "\n".join((MARK, *lines, "")).encode() for name, lines in texts.items()}


def _apache() -> tuple[str, ...]:
    return (
        "# Into the <VirtualHost>; needs mod_headers.",
        _ADDRESSES,
        "Options -Indexes",
        "ErrorDocument 404 /404.html",
        *_set_always(),
    )


def _set_always() -> tuple[str, ...]:
    return tuple(f'Header always set {name} "{value}"' for name, value in HEADERS)


def _caddy() -> tuple[str, ...]:
    return (
        "# Into the site's block, with its own root and without `log`.",
        _ADDRESSES,
        "header {",
        *(f'\t{name} "{value}"' for name, value in HEADERS),
        "}",
        "file_server",
        "handle_errors {",
        "\trewrite * /404.html",
        "\tfile_server",
        "}",
    )


def _lighttpd() -> tuple[str, ...]:
    return (
        "# Into the site's block; needs mod_setenv.",
        _ADDRESSES,
        'dir-listing.activate = "disable"',
        'server.errorfile-prefix = server.document-root + "/"',
        "setenv.add-response-header = (",
        *(f'  "{name}" => "{value}",' for name, value in HEADERS),
        ")",
    )


def _nginx() -> tuple[str, ...]:
    return (
        "# Into the server block.",
        _ADDRESSES,
        "autoindex off;",
        "access_log off;",
        "error_page 404 /404.html;",
        *(f'add_header {name} "{value}" always;' for name, value in HEADERS),
    )


def _object_store() -> tuple[str, ...]:
    return (
        "# For an object store. Nothing here names an address of the site.",
        "#",
        "# 1. Let nobody list the store: whoever may list it has every private address. Allow",
        "#    strangers to read an object by its name, and no more.",
        "# 2. Set these as metadata with every object, at every upload. A store that takes only",
        "#    some of them (often Cache-Control alone) needs a service before it for the rest.",
        *(f'{name}: "{value}"' for name, value in HEADERS),
        "# 3. Let 404.html answer for what is not there, with the status 404.",
        "# 4. Keep no log of the addresses that are asked for, or let only yourself read it.",
        "# 5. Delete in the store what is gone from public/: an address that was withdrawn opens",
        "#    for as long as its objects lie there.",
    )
