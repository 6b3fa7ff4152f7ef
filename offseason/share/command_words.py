"""The commands: what each is for, and examples of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class CommandWords:
    """A command by name, and what it is for.

    ``examples``: lines to copy, each with what it does, or nothing where that is plain. ``free_words``: words may stand
    among options.
    """

    name: str
    help: str
    examples: tuple[tuple[str, str], ...]
    free_words: bool = False


FIRST_STEPS = (
    ("offseason start winter.yaml", "writes a scenario, the file that says what a winter is like: change it."),
    ("offseason check winter.yaml", "names what is wrong in it, and holds the work against the help."),
    ("offseason plan winter.yaml", "writes winter.plan.yaml: who does what on which day."),
    ("offseason share winter.plan.yaml --to for-helpers", "makes a page and calendars of the plan for all who help."),
)
"""What to do first, with what it does."""

COMMANDS = (
    CommandWords(
        "start",
        "write a scenario to begin with, in which remarks say what each word means",
        (
            ("offseason start winter.yaml", ""),
            ("offseason start next.yaml --year 2027", "for the winter that begins in 2027."),
        ),
    ),
    CommandWords(
        "check",
        "hold hours of work against hours of help, before any planning",
        (("offseason check winter.yaml", ""),),
    ),
    CommandWords(
        "weather",
        "show which hours are fit for which work, and why the others are not",
        (
            ("offseason weather winter.yaml --need painting", "the hours of this winter that are fit for painting."),
            ("offseason weather forecast.csv --timezone CET", "the hours of a forecast, by the clock of this zone."),
        ),
    ),
    CommandWords(
        "plan",
        "plan the winter, audit the plan, write it, and say what it comes to",
        (
            ("offseason plan winter.yaml", ""),
            ("offseason plan winter.yaml --effort 60", "for a plan that comes out the same on any computer."),
        ),
    ),
    CommandWords(
        "show",
        "print a plan by day, by person or by lot, or what to buy for it",
        (
            ("offseason show winter.plan.yaml --week 2026-10-17", "what is to do in that week."),
            ("offseason show winter.plan.yaml --by person --who Ines", "what Ines does in the whole winter."),
            ("offseason show winter.plan.yaml --by supplies", "what to buy, and by when."),
        ),
    ),
    CommandWords(
        "audit",
        "name every promise that a plan breaks, also one changed by hand",
        (("offseason audit winter.plan.yaml", ""),),
    ),
    CommandWords(
        "record",
        "write what was done into the log beside a plan, in one short line",
        (
            ("offseason record winter.plan.yaml Maren freeze 80 super combs 25 min", ""),
            (
                "offseason record winter.plan.yaml --from ticks.txt",
                "many such lines, as the page for helpers makes them.",
            ),
        ),
        free_words=True,
    ),
    CommandWords(
        "replan",
        "plan the rest of a winter anew from what is done, moving as little as can be",
        (
            ("offseason replan winter.plan.yaml", ""),
            (
                "offseason replan winter.plan.yaml --settle 2026-10-24",
                "the days before the 24th are promised: they move only if they must.",
            ),
        ),
    ),
    CommandWords(
        "changes",
        "say what a new plan changes, for whom, and why",
        (
            ("offseason changes winter.plan.yaml", "since the plan before, which planning anew keeps beside it."),
            ("offseason changes winter.plan.yaml --who Ines", "what changes for Ines."),
        ),
    ),
    CommandWords(
        "share",
        "write the plan for helpers: a page, calendars, a table, texts and a picture",
        (
            ("offseason share winter.plan.yaml --to for-helpers", ""),
            ("offseason share winter.plan.yaml --to for-helpers --alarm 60", "the calendars remind an hour before."),
        ),
    ),
    CommandWords(
        "rehearse",
        "try a plan on each past winter of your weather records, planned anew every Monday",
        (
            ("offseason rehearse winter.plan.yaml", ""),
            ("offseason rehearse winter.plan.yaml --vary 20", "and the work takes up to a fifth more or less."),
        ),
    ),
    CommandWords(
        "pace",
        "learn from the log how long the work takes here, and whether the winter still fits",
        (
            ("offseason pace winter.plan.yaml", ""),
            ("offseason pace winter.plan.yaml --use", "and write these minutes into the scenario."),
        ),
    ),
    CommandWords(
        "remedies",
        "find the cheapest ways to mend a winter that does not fit, each proved",
        (
            ("offseason remedies winter.yaml", ""),
            ("offseason remedies winter.yaml --apply 1", "write a new scenario with the first of them."),
        ),
    ),
    CommandWords(
        "worth",
        "hold the work on gear against its price new, and the work on comb against honey",
        (("offseason worth winter.yaml", ""),),
    ),
    CommandWords(
        "spare",
        "say how late each step could begin, what is fullest, and what one more is worth",
        (
            ("offseason spare winter.plan.yaml", ""),
            ('offseason spare winter.plan.yaml --lot "spare brood combs"', "how late the steps of this lot can begin."),
        ),
    ),
    CommandWords(
        "carry-over",
        "write next winter's scenario out of this winter's and its log",
        (("offseason carry-over winter.plan.yaml --to next.yaml --learnt", ""),),
    ),
)
"""In the order in which the help tells of them."""
