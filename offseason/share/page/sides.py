"""What stands around the work: what changed, what does not fit, the picture, days that bind, care."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from offseason.share.handout import Changed, Deadline, Handout
from offseason.share.page.markup import name, names_value, on_day, shown, value
from offseason.share.terminal.layout import count_text, day_text

FEW = 4
"""So many changes are shown at once; more are folded, so that today's work is not pushed away."""

_PROLOG = re.compile(r"<\?xml.*?\?>|<!DOCTYPE[^>\[]*(?:\[.*?\])?[^>]*>|<!--.*?-->", re.DOTALL | re.IGNORECASE)


def care_ids(handout: Handout) -> Mapping[str, str]:
    """The id of the sentence of each word of caution."""
    return MappingProxyType({word: f"care-{n}" for n, (word, _) in enumerate(handout.care, 1)})


def changes(changed: Changed | None) -> str:
    """What is different from the page handed out before; empty where there was none."""
    if changed is None:
        return ""
    since = f"Changed since the plan of {day_text(changed.since.date())}"
    if not changed.lines:
        return f'<section id="changes"><h2>{since}</h2><p>Nothing.</p></section>'
    lines = "\n".join(
        f"<li data-who={names_value([one.who] if one.who else [])}>{on_day(one.day)} "
        f"<b>{name(one.who)}</b>{': ' if one.who else ''}{shown(one.words)}</li>"
        for one in changed.lines
    )
    opened = " open" if len(changed.lines) <= FEW else ""
    return (
        f'<section id="changes" aria-labelledby="h-changes"><details{opened}><summary><h2 id="h-changes">{since}: '
        f'<span id="changes-count">{count_text(len(changed.lines), "thing")}</span></h2></summary>\n'
        f"<ul>\n{lines}\n</ul></details></section>"
    )


def left(sentences: tuple[str, ...]) -> str:
    """What does not fit into the winter; empty where all does."""
    if not sentences:
        return ""
    return _section("left", "What does not fit", f"<ul>{_items(sentences)}</ul>")


def glance(svg: str) -> str:
    """The picture of the winter, in a box that scrolls by itself."""
    picture = _PROLOG.sub("", svg).strip()
    if not picture:
        return ""
    return _section(
        "glance",
        "The winter at a glance",
        '<div class="scroll" tabindex="0" role="region" aria-label="Picture of the winter; scrolls sideways">\n'
        f"{picture}\n</div>\n"
        '<p class="row js"><button type="button" id="save-svg">Save picture as SVG</button>'
        '<button type="button" id="save-png">Save picture as PNG</button></p><p id="saved" role="status"></p>',
    )


def deadlines(days: tuple[Deadline, ...]) -> str:
    """Days by whose end something is to be so."""
    if not days:
        return ""
    lines = "".join(
        f"<li><b>{on_day(one.day)}</b> {shown(one.words)}"
        f"{f': {name(one.lot)}' if one.lot is not None and one.lot not in one.words else ''}</li>"
        for one in days
    )
    return _section("deadlines", "Days to keep in mind", f"<ul>{lines}</ul>")


def weather(sentences: tuple[str, ...]) -> str:
    """The weather the plan was made for."""
    return _section("weather", "The weather it was planned for", f"<ul>{_items(sentences)}</ul>") if sentences else ""


def care(handout: Handout) -> str:
    """The sentence of each caution, and the last word."""
    ids = care_ids(handout)
    told = "".join(
        f"<dt id={value(ids[word])} tabindex=-1>{shown(word)}</dt><dd>{shown(said)}</dd>" for word, said in handout.care
    )
    listed = f"<dl>{told}</dl>" if told else ""
    return _section("care", "Take care", f'{listed}<p class="last">{shown(handout.last_word)}</p>')


def _section(called: str, heading: str, inside: str) -> str:
    label = f'aria-labelledby="h-{called}"'
    return f'<section id="{called}" {label}><h2 id="h-{called}">{heading}</h2>\n{inside}</section>'


def _items(sentences: tuple[str, ...]) -> str:
    return "".join(f"<li>{shown(sentence)}</li>" for sentence in sentences)
