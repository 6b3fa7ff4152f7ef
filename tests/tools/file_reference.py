"""Writes ``docs/scenario-file.md``, the reference of the scenario file, out of the models that read it.

Run ``python tests/tools/file_reference.py`` from the top of the repository after a change of the models. What stands
in the tables comes from the models and from the JSON Schema made of them; the words for each kind of value are in
``value_words.py``, and a kind of value without words stops the tool.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from offseason.scenario import bounds
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.model import Entry, NeedEntry, NewEntry, Scenario, Then
from offseason.scenario.plain_words import BLOCKS, SECTIONS, fields_of
from offseason.scenario.schema import json_schema
from offseason.scenario.starter import starter_text
from offseason.scenario.times import LONGEST_SEASON_DAYS
from offseason.trade.cautions import CAUTIONS
from offseason.trade.fitness import NEEDS
from offseason.trade.sizes import CATALOGUE
from tests.tools.value_words import as_written, kind_of_value

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "scenario-file.md"


WITHIN: dict[str, tuple[tuple[str, str, type[Entry]], ...]] = {
    "tasks": (("then", "then", Then),),
    "prices": (("new", "each entry under new", NewEntry),),
    "weather": (("needs", "each entry under needs", NeedEntry),),
}
"""Blocks within a section: the key they stand under, what they are called, and their model."""

INTRO = """\
# The scenario file, entry by entry

<!-- Made by tests/tools/file_reference.py from the models that read the file. Change those, and run it again. -->

A scenario is a text file that says what your winter is like. `offseason start winter.yaml` writes one to begin with.
This page says of every word that may stand in it what it means, how its value is written, and what counts where it is
left out. Any plain text editor will do. One that knows JSON Schema can complete and check the words while you type, by
[this one](../offseason/scenario/scenario.schema.json). `offseason check winter.yaml` tells all mistakes at once, each
with its line.

## How the file is written

The form is called YAML. Five rules are enough:

- A word, a colon, **a space**, a value: `count: 12`.
- What belongs to a word stands below it, **indented by spaces**, never by tabs, or behind it in braces:
  `bench: {seats: 2}`.
- Several values stand in brackets: `steps: [scrape, first coat]`.
- What stands behind a space and `#` is a remark for people.
- The names of people, places, work and gear are your own, and may have spaces. A name that has a colon in it
  or begins with a sign stands in quotes: `"coat: first"`.

What is left out, or has nothing behind it, counts as the column *left out* says; – means none. Numbers are in figures,
with a point (`2.5`), without quotes.

| kind of value | written | means |
|---|---|---|
| day | `2026-10-17` | year-month-day, from 1900 to 2199 |
| day or days | `2026-10-17`, `2026-12-21..2027-01-03` | one day, or the first and the last, both included |
| weekdays | `sat`, `mon-fri`, `sat, sun`, `every day` | mon, tue, wed, thu, fri, sat, sun |
| hours | `09:00-12:30`, `[09:00-12:00, 13:00-16:00]`, `none` | stretches of a day, on the 24-hour clock |
| length of time | `90 min`, `24 h`, `14 d`, `2 w` | minutes, hours, days, weeks |
| share | `20%` | a part of all, above 0 and up to 100 per cent |
| room | `24`, `60 combs`, `40 boxes` | so many pieces of any kind, or room counted in combs or in boxes |
| temperature | `-18`, `4..12` | degrees Celsius, one or coldest..warmest, from -60 to 60 |
| true or false | `true`, `false` | `yes` and `no` say the same |
| name, names | `bench`, `[scrape, first coat]` | your own words, or those of another entry; up to 120 letters each |
| file | `forecast.csv`, `[2019.csv, 2020.csv]` | a file beside this one, or in a folder beside it; one or several |

"""


def page() -> str:
    """The whole page."""
    schema = json_schema()
    parts = [INTRO, "## What stands in a scenario\n\n", _table(Scenario, schema, schema), "\n"]
    parts.extend(_section(key, schema) for key in fields_of(Scenario) if key in BLOCKS or key in SECTIONS)
    parts += [_pieces(), _weathers(), _cautions(), _bounds()]
    return "".join(parts).rstrip() + "\n"


def blocks() -> Iterator[tuple[str, type[Entry]]]:
    """Every block of the file with its model, in the order of the page."""
    yield "", Scenario
    for key in fields_of(Scenario):
        if model := BLOCKS.get(key) or SECTIONS.get(key):
            yield key, model
            yield from ((f"{key} {under}", inner) for under, _, inner in WITHIN.get(key, ()))


def _section(key: str, schema: dict[str, Any]) -> str:
    model = BLOCKS.get(key) or SECTIONS[key]
    described = fields_of(Scenario)[key].description or ""
    each = "" if key in BLOCKS else " Each stands under a name of your own, and has these entries:"
    text = f"## {key}\n\n{_sentence(described)}{each}\n\n{_table(model, schema['$defs'][model.__name__], schema)}\n"
    for under, called, inner in WITHIN.get(key, ()):
        said = _sentence(fields_of(model)[under].description or "")
        rows = _table(inner, schema["$defs"][inner.__name__], schema)
        text += f"### {called}\n\n{said}\n\n{rows}\n"
    return f"{text}As the starter and the scenarios of this repository have it:\n\n```yaml\n{example(key)}```\n\n"


def _sentence(said: str) -> str:
    return f"{said[:1].upper()}{said[1:]}."


def _table(model: type[Entry], described: dict[str, Any], schema: dict[str, Any]) -> str:
    rows = ["| entry | means | written | left out | example |", "|---|---|---|---|---|"]
    for key, field in fields_of(model).items():
        of = described["properties"][key]
        examples = ", ".join(f"`{as_written(one)}`" for one in field.examples or [])
        left_out = "**must be there**" if key in described.get("required", []) else _default(of)
        cells = (f"`{key}`", field.description or "", kind_of_value(key, of, schema, _link), left_out, examples)
        rows.append(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(rows) + "\n"


def _default(of: dict[str, Any]) -> str:
    match of.get("default"):
        case bool() as flag:
            return f"`{as_written(flag)}`"
        case 1.0 if "%" in of.get("pattern", ""):
            return "`100%`"
        case int() | float() as number:
            return f"`{number:g}`"
        case str() as word if word:
            return f"`{word}`"
    return "–"


def _link(model: str) -> str:
    for key, known in (*BLOCKS.items(), *SECTIONS.items()):
        if known.__name__ == model:
            return f"#{key}"
        for _, called, inner in WITHIN.get(key, ()):
            if inner.__name__ == model:
                return f"#{called.replace(' ', '-')}"
    raise SystemExit(f"{model} has no section on the page")


# What is shown of each section: the named entries, cut from the file they stand in.
SHOWN: dict[str, tuple[str, ...]] = {
    "season": (),
    "moths": (),
    "crew": (),
    "places": ("bench", "drying rack", "shed", "freezer"),
    "tasks": ("mend holes", "first coat", "freeze", "seal"),
    "gear": ("boxes due for paint", "super combs"),
    "jobs": ("mend the drying rack",),
    "rounds": (),
    "supplies": (),
    "prices": (),
    "weather": (),
}


def example(section: str) -> str:
    """A section as a file of ours has it, without its remarks: the starter, or the hobby keeper where that has none."""
    for text in (starter_text(date(2026, 1, 1)), (ROOT / "scenarios" / "hobby.yaml").read_text("utf-8")):
        plain = [re.sub(r"\s+# .*|^\s*#.*", "", line) for line in text.splitlines()]
        lines = [line for line in plain if line]
        if f"{section}:" in lines:
            start = lines.index(f"{section}:") + 1
            length = next((n for n, line in enumerate(lines[start:]) if not line.startswith(" ")), None)
            body = lines[start:] if length is None else lines[start : start + length]
            return "\n".join([f"{section}:", *_chosen(body, SHOWN[section])]) + "\n"
    raise SystemExit(f"no file of ours has an example of {section}")


def _chosen(lines: Sequence[str], names: Sequence[str]) -> Iterator[str]:
    wanted = not names
    for line in lines:
        if names and (found := re.match(r"  (\S[^:]*):", line)):
            wanted = found[1] in names
        if wanted:
            yield line


def _pieces() -> str:
    rows = [
        "## Pieces",
        "",
        "What `piece` may be without a `kind` of its own. *Wall*: the outside that is painted, of one piece. *Room*:",
        "how many combs' room it takes in a store (ours). *Comb*: what its comb is worth against a deep comb. Keepers",
        "who measured write `wall_area_m2` and `spaces`.",
        "",
        "| piece | kind | wall, m² | room | comb | how sure wall or comb is |",
        "|---|---|---|---|---|---|",
    ]
    for piece in CATALOGUE.values():
        wall = "–" if piece.wall_area_m2 is None else f"{piece.wall_area_m2:.2f}"
        comb = f"{piece.comb_worth_ratio:.2f}" if piece.comb_worth_ratio else "–"
        sure = piece.sure if (wall, comb) != ("–", "–") else "–"
        rows.append(f"| {piece.name} | {piece.kind} | {wall} | {piece.spaces} | {comb} | {sure} |")
    return "\n".join(rows) + "\n\n"


def _weathers() -> str:
    rows = [
        "## Kinds of weather",
        "",
        "What `weather`, `likes_weather` and `like` may be without an entry of yours under `needs`. What each asks of",
        "the air, and how sure that is, stands in [trade.md](trade.md#weather-fit-for-work).",
        "",
        *(f"- `{name}`" for name in NEEDS),
    ]
    return "\n".join(rows) + "\n\n"


def _cautions() -> str:
    rows = [
        "## Cautions",
        "",
        "Words that `caution` knows; any other text is shown as it is.",
        "",
        "| word | shown |",
        "|---|---|",
        *(f"| `{word}` | {said} |" for word, said in CAUTIONS.items()),
    ]
    return "\n".join(rows) + "\n\n"


def _bounds() -> str:
    rows = [
        "## How large a winter may be",
        "",
        "Far larger than any we know of; what is larger is refused with a sentence, so that every check and plan comes",
        "to an end. All of these bounds are ours.",
        "",
        "| what | at most |",
        "|---|--:|",
        f"| days of the season | {LONGEST_SEASON_DAYS} |",
        *(f"| entries under `{section}` | {most:,} |" for section, most in bounds.MOST_IN.items()),
        f"| entries of any other list or block | {bounds.MOST_ELSEWHERE:,} |",
        f"| steps of a lot | {bounds.MOST_STEPS} |",
        f"| steps of all lots | {bounds.MOST_STEPS_IN_ALL:,} |",
        f"| pieces of all lots | {bounds.MOST_PIECES_IN_ALL:,} |",
        f"| times that all rounds come back | {bounds.MOST_ROUNDS:,} |",
        f"| steps times stretches of hours | {bounds.MOST_WEIGHED:,} |",
        f"| size of the file | {MAX_BYTES // 1_000_000} MB |",
        "",
        "A stretch of hours ends where people or fit weather come or go: 180 days with the same eight hours are 180",
        f"stretches. Fewer steps than {bounds.FEWEST_STEPS} count as {bounds.FEWEST_STEPS}.",
    ]
    return "\n".join(rows) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
