"""Runs what a page of ours shows, from top to bottom, in one folder, so that each command finds what those before made.

What is run stands between marks that nobody sees in the page as it is read:

- ``<!-- screen: offseason ... -->``, a console block, ``<!-- end -->``: the command and all it prints. With
  ``screen up to "words"`` it is cut before the first line that begins so. ``screen about`` is for what hangs on how
  fast the machine is: only how it begins is compared.
- ``<!-- change: FILE -->``, a diff block, ``<!-- end -->``: the keeper's editor. Lines with - go, lines with + come;
  an empty line parts one place from the next. Remarks in the file are passed over.
- ``<!-- made: NEW is OLD with "these words" for "those words" -->``: a file made of another, more words behind ``and``.
  Without ``with`` it is the same; ``NEW is OLD from DAY to DAY`` has its heading and the lines of these days.
- ``<!-- ticked: FILE is PAGE up to DAY but WORK -->``: the lines that somebody who ticked all that stands on the page
  up to that day sends back, but of one kind of work.
- ``<!-- keep: NAME -->`` and ``<!-- back: NAME -->``: the folder as it is now, and as it was then.
- ``<!-- today: DAY -->``: the day on which what follows is run.
- ``<!-- command: NAME -->``, an sh block, ``<!-- end -->``: run by ``.ci/run`` or a test of its own, not here.

Blocks of ``sh`` without a mark are run line by line; only that they end well counts, so searches in them are short.
"""

from __future__ import annotations

import html
import io
import re
import shlex
import shutil
from collections.abc import Iterator
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from offseason.cli import main
from tests.tools.stopped_clock import stopped_clock

ROOT = Path(__file__).parents[2]
ENDS = (0, 3)
"""Exit codes a shown command may end with: done, and a winter that does not fit."""

MARK = re.compile(
    r"<!-- (?P<kind>screen|change|command)(?P<how>[^:\n]*): (?P<words>[^\n]*?) -->\n(?P<body>.*?)<!-- end -->"
    r"|<!-- (?P<alone>today|made|ticked|keep|back): (?P<said>[^\n]*?) -->"
    r"|^```sh\n(?P<lines>.*?)^```$",
    re.DOTALL | re.MULTILINE,
)
_MADE = re.compile(r"(?P<new>\S+) is (?P<old>\S+)(?: with (?P<words>.+)| from (?P<first>\S+) to (?P<last>\S+))?")
_WORDS = re.compile(r'"(?P<now>[^"]+)" for "(?P<was>[^"]+)"')
_TICKED = re.compile(r"(?P<new>\S+) is (?P<page>\S+) up to (?P<day>\S+)(?: but (?P<but>.+))?")
_REMARK = re.compile(r"\s+# .*")
_SEARCHES = ("plan", "remedies", "replan", "spare")


@dataclass(frozen=True)
class Step:
    """One thing a page does: its kind, the words of its mark, what stands below it, and how it is cut or compared."""

    kind: str
    words: str
    body: str = ""
    how: str = ""

    @property
    def to_the_letter(self) -> bool:
        """Whether what is shown is the same on every machine."""
        return "about" not in self.how

    @property
    def up_to(self) -> str | None:
        """The words before which the screen is cut."""
        cut = re.search(r'up to "([^"]+)"', self.how)
        return cut[1] if cut else None


def steps(text: str) -> Iterator[Step]:
    """What a page does, in order."""
    for found in MARK.finditer(text):
        yield step_of(found)


def step_of(found: re.Match[str]) -> Step:
    """What one mark does."""
    if found["kind"]:
        return Step(found["kind"], found["words"], found["body"], found["how"])
    return Step(found["alone"], found["said"]) if found["alone"] else Step("sh", found["lines"])


class Workshop:
    """A folder like the top of the repository, in which a page is run."""

    def __init__(self, folder: Path) -> None:
        """The folder is given the scenarios, without what was planned there."""
        self.folder = folder
        self.today: str | None = None
        unwanted = shutil.ignore_patterns("*.plan*.yaml", "*.remed*.yaml")
        shutil.copytree(ROOT / "scenarios", folder / "scenarios", ignore=unwanted)

    def do(self, step: Step) -> str | None:
        """Does one step; of a screen, what has to stand between its marks."""
        match step.kind:
            case "screen":
                return self.screen(step)
            case "today":
                self.today = step.words
            case "change":
                self._change(step)
            case "made":
                self._make(step.words)
            case "keep":
                shutil.copytree(self.folder, self._kept(step.words))
            case "back":
                shutil.rmtree(self.folder)
                shutil.copytree(self._kept(step.words), self.folder)
            case "ticked":
                self._tick(step.words)
            case "sh":
                for line in step.words.splitlines():
                    self._run_short(line)
        return None

    def _kept(self, name: str) -> Path:
        return self.folder.with_name(f"{self.folder.name} {name}")

    def screen(self, step: Step) -> str:
        """The command as typed, and what it printed."""
        said = self.run(shlex.split(step.words)[1:], step.words).rstrip()
        if step.up_to is not None:
            kept = said.split(f"\n{step.up_to}")[0].rstrip()
            if kept == said:
                raise SystemExit(f"no line of {step.words} begins with {step.up_to!r}")
            said = f"{kept}\n[...]"
        return f"```console\n$ {step.words}\n{said}\n```\n"

    def run(self, words: list[str], told: str) -> str:
        """What the command prints."""
        told_out, told_err = io.StringIO(), io.StringIO()
        day = None if self.today is None else date.fromisoformat(self.today)
        with stopped_clock(day), chdir(self.folder), redirect_stdout(told_out), redirect_stderr(told_err):
            code = main(words)
        if code not in ENDS:
            raise SystemExit(f"{told} ended with {code}:\n{told_out.getvalue()}\n{told_err.getvalue()}")
        return told_out.getvalue()

    def _run_short(self, line: str) -> None:
        words = shlex.split(line, comments=True)
        if not words:
            return
        if words[0] != "offseason":
            raise SystemExit(f"{line!r} is no command of ours; put it between marks that say who runs it")
        if words[1] in _SEARCHES and "--apply" not in words:
            words += ["--seconds", "2"]  # the last one written is the one that counts
        self.run(words[1:], line)

    def _change(self, step: Step) -> None:
        path = self.folder / step.words
        lines = path.read_text("utf-8").splitlines()
        shown = step.body.removeprefix("```diff\n").removesuffix("```\n")
        for place in shown.split("\n\n"):
            was = [line[1:] for line in place.splitlines() if line[:1] in "- "]
            bare = [_REMARK.sub("", line) for line in lines]
            at = [n for n in range(len(lines)) if bare[n : n + len(was)] == was]
            if not was or len(at) != 1:
                raise SystemExit(f"{step.words} has this {len(at)} times; once was meant:\n{place}")
            now = [line[1:] for line in place.splitlines() if line[:1] in "+ "]
            lines[at[0] : at[0] + len(was)] = now
        path.write_text("\n".join(lines) + "\n", "utf-8")

    def _make(self, words: str) -> None:
        made = _MADE.fullmatch(words)
        assert made is not None, words
        text = (self.folder / made["old"]).read_text("utf-8")
        for now, was in _WORDS.findall(made["words"] or ""):
            if text.count(was) != 1:
                raise SystemExit(f"{made['old']} has {was!r} {text.count(was)} times; once was meant")
            text = text.replace(was, now)
        if made["first"]:
            heading, *lines = text.splitlines(keepends=True)
            text = heading + "".join(line for line in lines if made["first"] <= line[:10] <= made["last"])
        (self.folder / made["new"]).write_text(text, "utf-8")

    def _tick(self, words: str) -> None:
        ticked = _TICKED.fullmatch(words)
        assert ticked is not None, words
        page = (self.folder / ticked["page"]).read_text("utf-8")
        lines = [
            html.unescape(record["line"])
            for entry in re.findall(r"<li class=\"entry[^>]*>", page)
            if " data-done" not in entry
            and (record := re.search(r"data-record=(?P<q>['\"])(?P<line>.*?)(?P=q)", entry))
            and f'data-step="{ticked["but"]}"' not in entry
            and html.unescape(record["line"])[:10] <= ticked["day"]
        ]
        (self.folder / ticked["new"]).write_text("".join(f"{line}\n" for line in lines), "utf-8")


def about(body: str) -> list[str]:
    """How a screen begins: the command, and the words of its first line without numbers."""
    return re.sub(r"[0-9][0-9.,]*", "0", body).splitlines()[1:3]
