"""Names: each used for one thing only, and every name referred to described somewhere."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from difflib import SequenceMatcher

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.nearest import listed, nearest, offer
from offseason.scenario.yaml_tree import Path
from offseason.trade.cautions import CAUTIONS

ONE_OF = {
    "tasks": "task",
    "gear": "lot of gear",
    "jobs": "job",
    "rounds": "round",
    "places": "place",
    "crew": "person",
}
# Rows of the plan, `can` and `before` refer to tasks, gear, jobs and rounds by name alone.
_NAMED_APART: tuple[tuple[str, ...], ...] = (("tasks", "gear", "jobs", "rounds"), ("places",), ("crew",))

MOST_LETTERS_MISTYPED = 2
_STRIKE_OUT_TOO = " If it is struck out there, strike it out here too"
_WORK = ("tasks", "jobs", "rounds")
_BEFORE = ("tasks", "gear", "jobs")
_PLACES = ("places",)


def name_findings(draft: Draft) -> Iterator[Finding]:
    """Names used twice, names with spaces at their edge, and references to what is not described."""
    for sections in _NAMED_APART:
        yield from _used_twice(draft, sections)
    known: dict[tuple[str, ...], dict[str, None]] = {}
    for path, word, sections in _references(draft):
        if sections not in known:
            known[sections] = dict.fromkeys(name for section in sections for name in draft.names(section))
        if word not in known[sections] and all(draft.readable(section) for section in sections):
            told = offer(word, known[sections], what="described there") + _or_strike_out(word, known[sections])
            yield Finding(path, f"'{word[:60]}' is not described under {listed(sections, 'or')}; {told}")
    yield from _optional(draft)
    yield from _cautions(draft)


def _or_strike_out(word: str, known: Iterable[str]) -> str:
    """What else may be meant: that it was struck out, unless it is a known name but for a letter or two."""
    close = nearest(word, known)
    if close is None:
        return f".{_STRIKE_OUT_TOO}"
    alike = sum(block.size for block in SequenceMatcher(None, word.casefold(), close.casefold()).get_matching_blocks())
    mistyped = max(len(word), len(close)) - alike <= MOST_LETTERS_MISTYPED
    return "" if mistyped else _STRIKE_OUT_TOO


def _folded(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _used_twice(draft: Draft, sections: tuple[str, ...]) -> Iterator[Finding]:
    seen: dict[str, tuple[str, str]] = {}
    for section in sections:
        node = draft.tree.at((section,))
        for name in node.keys if node else ():
            path = (section, name)
            if name != name.strip():
                yield Finding(path, f"'{name[:60]}' begins or ends with a space; take it away", on_key=True)
                continue
            first_section, first = seen.setdefault(_folded(name), path)
            if (first_section, first) == path:
                continue
            where = f"the {ONE_OF[first_section]} on line {draft.line(first_section, first)}"
            if first == name:
                yield Finding(
                    path,
                    f"'{name[:60]}' is also the name of {where}; tasks, gear, jobs and rounds need names of their own",
                    on_key=True,
                )
            else:
                text = (
                    f"'{name[:60]}' and '{first[:60]}', {where}, differ only in capitals, accents or spaces; rename one"
                )
                yield Finding(path, text, on_key=True)


Reference = tuple[Path, str, tuple[str, ...]]
"""Where a name refers to something: path, name, the sections it may be described in."""

# key, and the sections its names may be described in
_REFERRING = {
    "crew": (("can", _WORK), ("cannot", _WORK)),
    "tasks": (("needs", ("tasks",)), ("at", _PLACES)),
    "gear": (("steps", ("tasks",)), ("rests", _PLACES)),
    "jobs": (("before", _BEFORE), ("after", _BEFORE), ("at", _PLACES)),
    "rounds": (("at", _PLACES), ("looks_at", _PLACES)),
}


def _references(draft: Draft) -> Iterator[Reference]:
    for section, fields in _REFERRING.items():
        for name, entry in getattr(draft, section).items():
            for key, sections in fields:
                yield from _each((section, name, key), getattr(entry, key), sections)
    for name, task in draft.tasks.items():
        yield from _each(("tasks", name, "then", "in"), task.then.in_, _PLACES)
        yield from _each(("tasks", name, "then", "on"), task.then.on, _PLACES)


def _each(path: Path, words: str | tuple[str, ...] | None, sections: tuple[str, ...]) -> Iterator[Reference]:
    if isinstance(words, str):
        yield path, words, sections
    else:
        yield from (((*path, n), word, sections) for n, word in enumerate(words or ()))


def _optional(draft: Draft) -> Iterator[Finding]:
    for name, lot in draft.gear.items():
        steps = draft.tree.at(("gear", name, "steps"))
        written = [str(step) for step in steps.data] if steps and isinstance(steps.data, list) else []
        for n, word in enumerate(lot.optional):
            if word not in written:
                told = offer(word, written, what="its steps are")
                text = f"'{word[:60]}' is not one of the steps of '{name[:60]}'; {told}"
                yield Finding(("gear", name, "optional", n), text)


def _cautions(draft: Draft) -> Iterator[Finding]:
    """A word that only looks like one of the known cautions; the keeper's own sentences are welcome."""
    for section in ("tasks", "jobs", "rounds"):
        for name, entry in getattr(draft, section).items():
            for n, word in enumerate(entry.caution):
                close = nearest(word, CAUTIONS)
                if word not in CAUTIONS and close:
                    text = f"'{word[:60]}' is not a caution known here; did you mean '{close}'?"
                    yield Finding((section, name, "caution", n), text)
