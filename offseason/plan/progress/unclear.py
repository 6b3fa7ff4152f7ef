"""What is not clear in a short line, in one sentence with the nearest words that would do."""

from __future__ import annotations

from collections.abc import Sequence

from offseason.plan.progress.known import LOT, PERSON, STEP, WHOLE, Known
from offseason.plan.progress.words import Found, Word
from offseason.scenario.nearest import listed, nearest, offer

_NOTE = "put a note in quotes, or behind the word note"


def unclear(
    words: Sequence[Word], found: Sequence[Found], who: Sequence[str], lot: object, step: object, names: Known
) -> str | None:
    """A sentence on what is wrong, unknown or missing; None where all is clear.

    ``who``, ``lot`` and ``step`` with what was filled in where it can only be one.
    """
    if wrong := next((one.wrong for one in found if one.wrong), None):
        return wrong
    kinds = {one.kind for one in found}
    for begin, end in unknown_runs(found):
        written = {one.kind: one.value for one in found}
        whole = written.get(WHOLE)
        text = _text(words[begin:end])
        return _of_unknown(text, kinds, who, written.get(LOT, whole), written.get(STEP, whole), names)
    if lot is not None and step is not None and step not in names.steps(str(lot)):
        return _not_together(str(lot), str(step), names)
    if not who:
        return f"it is not said who did it; write one of {listed(names.people[:20], 'or')}"
    if lot is None and step is None:
        return "it is not said what was done, and to which lot; write the kind of work and the name of the lot"
    if lot is None:
        having = names.with_step(str(step))
        known = f"it is done to {listed(having[:20])}" if having else "no lot has this work this winter"
        return f"it is not said to which lot '{step}' was done; {known}"
    if step is None:
        return f"it is not said what was done to '{lot}'; its work is {listed(names.steps(str(lot))) or 'none at all'}"
    return None


def unknown_runs(found: Sequence[Found]) -> list[tuple[int, int]]:
    """From where to where words stand that mean nothing, those beside one another as one."""
    runs: list[tuple[int, int]] = []
    at = 0
    for one in found:
        if one.kind == "unknown":
            beside = bool(runs) and runs[-1][1] == at
            runs = [*runs[:-1], (runs[-1][0], one.end)] if beside else [*runs, (at, one.end)]
        at = one.end
    return runs


def meant_by(words: Sequence[Word], found: Sequence[Found], names: Known) -> str | None:
    """The name nearest to words that mean nothing, of those that are missing in the line; None where none is near."""
    written = {one.kind: one.value for one in found}
    whole = written.get(WHOLE)
    return nearest(_text(words), _missing(set(written), written.get(LOT, whole), written.get(STEP, whole), names))


def _text(words: Sequence[Word]) -> str:
    return " ".join(word.text for word in words)


def _missing(kinds: set[str], lot: object, step: object, names: Known) -> list[str]:
    every = dict(names.by_kind())
    missing = [every[PERSON]] if PERSON not in kinds else []
    missing += [every[LOT], every[WHOLE]] if lot is None else []
    missing += [every[STEP], every[WHOLE]] if step is None else []
    return [name for each in missing or [every[PERSON]] for name in each]


def _of_unknown(text: str, kinds: set[str], who: Sequence[str], lot: object, step: object, names: Known) -> str:
    shown = f"'{text[:60]}'"
    if text.casefold() in {name.casefold() for name in who}:
        return f"{shown} is named more than once; name each person once"
    if text[:1].isdigit() or text[:1] == "-":
        if "number" in kinds and text.lstrip("-").isdigit():
            return f"there are two numbers of pieces, one of them {shown}; write min or h behind a time"
        return f"{shown} is not clear; pieces are a whole number, and a time has min or h behind it"
    if text.casefold() in {"until", "till", "til"}:
        return f"behind {shown} the time is missing; write it as in until 15:30"
    if text.casefold() in {"on", "last"}:
        return f"behind {shown} the day is missing; write it as in on 2026-10-14, on yesterday or on sat"
    return _of_no_name(text, shown, kinds, lot, step, names)


def _of_no_name(text: str, shown: str, kinds: set[str], lot: object, step: object, names: Known) -> str:
    every = dict(names.by_kind())
    if close := nearest(text, _missing(kinds, lot, step, names)):
        return f"{shown} is not a name known here; did you mean '{close}'?"
    if PERSON not in kinds:
        return f"nobody here is called {shown}; {offer(text, every[PERSON], what='the people are')}"
    if lot is not None and step is None:
        return f"{shown} is not known here; {offer(text, names.steps(str(lot)), what=f'the work on {lot} is')}"
    if step is not None and lot is None:
        return f"{shown} is not known here; {offer(text, names.with_step(str(step)), what=f'{step} is done to')}"
    if lot is None:
        work = (*every[WHOLE], *every[STEP], *every[LOT])
        return f"{shown} is neither work nor a lot here; {offer(text, work, what='there are')}"
    return f"{shown} is not clear; {_NOTE}"


def _not_together(lot: str, step: str, names: Known) -> str:
    steps = names.steps(lot)
    if not steps:
        return f"there is no work on '{lot}' this winter"
    having = [name for name in names.with_step(step) if name != step]
    other = f", and '{step}' is done to {listed(having[:20])}" if having else ""
    return f"'{step}' is not done to '{lot}' this winter; its work is {listed(steps)}{other}"
