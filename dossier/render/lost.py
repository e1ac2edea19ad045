"""How the page for an address that opens nothing looks: in itself, since it can point at no file.

It is shown at any depth of any host, so that its style stands within it.  A policy without inline
style lets this one text pass by its hash, which the headers and the page itself name.
"""

from __future__ import annotations

import base64
import hashlib

STYLE = """
:root { color-scheme: light dark; }
body {
  max-width: 34rem;
  margin: 0 auto;
  padding: min(12vh, 6rem) 1.5rem 3rem;
  background: Canvas;
  color: CanvasText;
  font: 1.125rem/1.55 Georgia, "Times New Roman", serif;
}
header, footer { font: 1rem/1.5 Calibri, "Gill Sans", sans-serif; }
header { padding-bottom: 0.5rem; border-bottom: 3px double; font-weight: bold; }
footer { margin-top: 4rem; padding-top: 0.75rem; border-top: 1px solid; }
footer h2 { font-size: 1rem; }
footer ul { padding: 0; list-style: none; }
h1 { margin: 3rem 0 1rem; font-size: 2.125rem; font-weight: normal; line-height: 1.15; }
.skip { position: absolute; top: -6rem; }
.skip:focus { top: 0.5rem; }
a { color: LinkText; }
"""

_SUM = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
SOURCE = f"'sha256-{_SUM}'"
"""The style's hash as a policy names it (CSP Level 3, 2.3.1)."""
