"""The page as a whole: head, what is to do today, ways to look at the work, and the rest in its order."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from offseason.share.handout import Handout
from offseason.share.page import sides
from offseason.share.page.assets import policy, script, style
from offseason.share.page.entries import days
from offseason.share.page.markup import name, shown, value
from offseason.share.terminal.layout import day_text

MANY = 300
"""Of more entries only what is near is drawn."""

_NO_SCRIPT = (
    "<noscript><p>Scripts do not run here. All the work stands below, day by day, and prints as day sheets; "
    "ticks are not kept.</p></noscript>"
)
_TODAY = """\
<section id="today" class="js" aria-labelledby="h-today"><h2 id="h-today">Today</h2>
<div id="today-told"></div></section>"""
_SEND = """\
<section id="send" class="js" aria-labelledby="h-send" tabindex="-1"><h2 id="h-send">Text to send back</h2>
<p id="send-told">Tick what is done. A line for each tick stands here; send them to whoever keeps the plan.</p>
<p id="kept" role="status"></p>
<label for="text">Lines of what is ticked</label>
<textarea id="text" readonly rows="4" spellcheck="false" dir="auto"></textarea>
<p class="row"><button type="button" id="copy">Copy the text</button>\
<button type="button" id="afresh">Sent: start afresh</button></p>
<p id="copied" role="status"></p></section>"""


def page_html(handout: Handout, svg: str) -> str:
    """The plan as one HTML file that needs no other. ``svg``: the picture of the winter; empty: none."""
    care = sides.care_ids(handout)
    parts = (
        f'<header><h1>{name(handout.name)}</h1>\n<p class="about">{_about(handout)}</p>{_NO_SCRIPT}</header>',
        '<main id="main" tabindex="-1">',
        _TODAY,
        _controls(handout),
        sides.changes(handout.changes),
        sides.left(handout.left),
        '<section id="work" aria-labelledby="h-work"><h2 id="h-work">Work</h2>\n<div id="by-day">',
        days(handout, care) or "<p>There is no work in this plan.</p>",
        '</div>\n<div id="by-other" hidden></div>\n<p id="bar" hidden><a href="#send"></a></p></section>',
        _SEND,
        sides.glance(svg),
        sides.deadlines(handout.deadlines),
        sides.weather(handout.weather),
        sides.care(handout),
        "</main>",
        '<div id="months" hidden></div>',
    )
    body = "\n".join(part for part in parts if part)
    large = " class=large" if len(handout.entries) > MANY else ""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy()}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n<meta name="referrer" content="no-referrer">\n'
        # before the style sheet: the browser needs no other icon, and asks for none
        '<link rel="icon" href="data:,">\n'
        f"<title>{shown(handout.name)}</title>\n<style>\n{style()}\n</style>\n</head>\n"
        f"<body data-winter={value(handout.winter_id)}{large}>\n"
        f'<a class="skip" href="#work">To the work</a>\n{body}\n'
        f"<script>{script()}</script>\n</body>\n</html>\n"
    )


def _about(handout: Handout) -> str:
    told = f"{day_text(handout.first)} to {day_text(handout.last)}. Planned {_moment(handout.made, handout.timezone)}"
    if handout.since is not None:
        told += f", anew from {_moment(handout.since, None)} on"
    return f"{told}."


def _moment(when: datetime, timezone: str | None) -> str:
    if when.tzinfo is not None and timezone is not None:
        when = when.astimezone(ZoneInfo(timezone))
    zone = f" {when:%Z}" if when.tzinfo is not None and timezone is None else ""
    return f"{day_text(when.date())}, {when:%H:%M}{zone}"


def _controls(handout: Handout) -> str:
    people = [("", "Everybody"), *((person, person) for person in handout.people)]
    days = [("on", "From today on"), ("1", "Today"), ("7", "7 days from today"), ("all", "All days")]
    ways = "".join(
        f'<button type="button" data-view="{view}" aria-pressed="{pressed}">{word}</button>'
        for view, word, pressed in (("day", "Day", "true"), ("person", "Person", "false"), ("lot", "Lot", "false"))
    )
    parts = (
        '<section id="controls" class="js" aria-label="What is shown">',
        f'<p class="row">{_choice("who", "Who", people)}{_choice("days", "Days", days)}</p>',
        f'<div class="row" role="group" aria-label="Work set out by"><span aria-hidden="true">By</span>{ways}</div>',
        '<p class="row"><button type="button" id="print-days">Print day sheets</button>',
        '<button type="button" id="print-months">Print months</button></p>',
        '<p id="said" role="status"></p></section>',
    )
    return "\n".join(parts)


def _choice(called: str, label: str, options: Iterable[tuple[str, str]]) -> str:
    offered = "".join(f"<option value={value(written)}>{shown(word)}</option>" for written, word in options)
    return f'<span><label for="{called}">{label}</label><select id="{called}">{offered}</select></span>'
