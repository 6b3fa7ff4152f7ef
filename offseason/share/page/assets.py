"""How the page looks and what it does: the files beside this module, and the policy that lets nothing else run."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files

STYLES = ("page.css", "paper.css")
SCRIPTS = ("page.js", "chosen.js", "ticks.js", "paper.js")


@cache
def style() -> str:
    """The style sheets, one after the other."""
    return "\n".join(map(_file, STYLES))


@cache
def script() -> str:
    """The scripts as one, with nothing left behind in the window."""
    return "\n".join(("(() => {", '"use strict";', *map(_file, SCRIPTS), "})();"))


def policy() -> str:
    """The content security policy: our script and no other runs, and nothing is asked of any machine.

    Styles may stand inside: the picture brings its own. They can load nothing, as no place to load from is allowed.
    """
    digest = b64encode(sha256(script().encode()).digest()).decode()
    rules = ("default-src 'none'", "style-src 'unsafe-inline'", f"script-src 'sha256-{digest}'", "img-src data: blob:")
    return "; ".join((*rules, "base-uri 'none'", "form-action 'none'"))


def _file(called: str) -> str:
    return (files("offseason.share.page") / called).read_text("utf-8").strip()
