r"""A chart as one HTML file that needs no network and runs nothing that came from data.

The chart travels as JSON in a data block, its `<`, `>` and `&` written as `\u003c` and so on. The
page's policy allows two scripts, both named by their hash, no other, and no connection; Vega runs
its expressions by interpreting them, so that not even `eval` is allowed.
"""

from __future__ import annotations

import base64
import hashlib
import json
import math
from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

from ledger.charts.unbroken import unbroken

# The least size of letters on a page, in CSS pixels, whatever its width.
SMALLEST = 12
_START = """\
const spec = JSON.parse(document.getElementById("spec").textContent);
vegaEmbed("#chart", spec, {mode: "vega-lite", ast: true, actions: false, renderer: "svg"})
  .catch((error) => { document.getElementById("chart").textContent = String(error); });
"""
_PAGE = """\
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
body {{ margin: 0; background: {paper}; color: {ink}; font-family: {font}; }}
main {{ max-width: {widest}px; margin: 0 auto; }}
#chart {{ display: block; overflow-x: auto; }}
#chart svg {{ width: 100%; min-width: {least}px; height: auto; }}
noscript p, .narrow {{ padding: 1rem 1rem 0; margin: 0; }}
noscript p, .narrow {{ line-height: 1.4; overflow-wrap: anywhere; }}
h1 {{ font-size: 1.2rem; }}
@media (min-width: {least}px) {{ .narrow {{ display: none; }} }}
</style>
</head>
<body>
<main>
<h1 class="narrow">{headline}</h1>
<p class="narrow">Push the picture sideways to see all of it.</p>
<div id="chart" role="img" aria-label="{description}" tabindex="0"></div>
<noscript><p>{description}</p></noscript>
</main>
<script type="application/json" id="spec">{spec}</script>
<script>{bundle}</script>
<script>{start}</script>
</body>
</html>
"""


def page(
    spec: Mapping[str, Any],
    *,
    bundle: str,
    title: str,
    description: str,
    look: Mapping[str, str],
    width: int,
) -> str:
    """The whole file.

    Args:
        spec: the chart in Vega-Lite.
        bundle: the scripts that draw it, as one text that defines `vegaEmbed`.
        title: of the page, and its headline where the screen is narrow.
        description: the picture in words.
        look: `paper`, `ink` and `font` of the theme.
        width: of the picture in chart units.
    """
    # Letters are never smaller than can be read: a narrow screen shows a part at a time.
    least = math.ceil(width * SMALLEST / min([SMALLEST, *_letters(spec)]))
    # A bundle that closed its own script element would spill the rest into the page.
    bundle = bundle.replace("</script", "<\\/script").replace("<!--", "<\\!--")
    policy = (
        "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:; font-src 'none'; "
        "style-src 'unsafe-inline'; "
        f"script-src '{_hash(bundle)}' '{_hash(_START)}'"
    )
    return _PAGE.format(
        policy=policy,
        title=escape(title),
        headline=escape(unbroken(title)),
        description=escape(description),
        spec=inert_json(spec),
        bundle=bundle,
        start=_START,
        least=least,
        widest=max(width, least),
        **look,
    )


def _letters(value: Any) -> Iterator[float]:
    """The sizes of all letters of a chart."""
    if isinstance(value, Mapping):
        for key, inside in value.items():
            if key == "datasets":
                continue
            if key.lower().endswith("fontsize") and isinstance(inside, int | float):
                yield float(inside)
            yield from _letters(inside)
    elif isinstance(value, list | tuple):
        for inside in value:
            yield from _letters(inside)


def inert_json(value: Any) -> str:
    r"""JSON that can stand inside HTML: no tag, comment or entity can begin in it.

    >>> inert_json("</script>")
    '"\\u003c/script\\u003e"'
    """
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text


def _hash(script: str) -> str:
    digest = hashlib.sha256(script.encode()).digest()
    return "sha256-" + base64.b64encode(digest).decode()
