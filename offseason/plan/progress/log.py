"""The log beside a plan: rows that are only ever added, read so that no broken row hides the others."""

from __future__ import annotations

import re
import stat
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import yaml

from offseason.plan.progress.entry import Entry, in_order
from offseason.plan.progress.rows import RowReader
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.nearest import listed
from offseason.scenario.problems import Problem, ScenarioError, all_told
from offseason.scenario.yaml_tree import read_tree

_MOST_ENTRIES = 500_000
_MOST_ROWS = 30_000
_MOST_SHOWN = 1_000
_MOST_TORN = 1_000
_LONGEST_ROW = 10_000  # bytes; what is longer and not whole is no row of ours
TAKEN_BY_DAY = "Rows are taken by their day."
_ROWS_BEGIN = re.compile(rb"^-(?=\s|$)", re.MULTILINE)
_ROW_BEGINS = re.compile(rb"-(?=\s|$)")
_WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff", b"\0\0\xfe\xff")
_UTF8_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Log:
    """What was done, in order of day and time, and what is to be remarked of the file; no remark loses a row."""

    entries: tuple[Entry, ...] = ()
    remarks: tuple[str, ...] = ()


class LogFileError(Exception):
    """The log cannot be used; ``problems`` lists every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(all_told(self.problems))


def log_beside(plan_path: Path) -> Path:
    """Where the log of a plan lies: ``winter.log.yaml`` beside ``winter.plan.yaml``."""
    name = plan_path.name
    for end in (".plan.yaml", ".plan.yml", ".yaml", ".yml"):
        if name.lower().endswith(end) and len(name) > len(end):
            return plan_path.with_name(f"{name[: -len(end)]}.log.yaml")
    return plan_path.with_name(f"{name}.log.yaml")


def read_log(path: Path) -> Log:
    """The log in the file at ``path``, each entry with its line; an empty one where there is no file.

    Raises LogFileError with every mistake, or why it cannot be opened.
    """
    file = str(path)
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise LogFileError([Problem(file, 0, 0, "this is not a file; a log is a file with a row for each entry")])
        with path.open("rb") as stream:
            source = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        return Log()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name is not one a file can have"
        raise LogFileError([Problem(file, 0, 0, f"the log cannot be read: {why}")]) from None
    return parse_log(source, file)


def parse_log(source: bytes, file: str) -> Log:
    """The log written in ``source``; ``file`` is its name in messages. Raises LogFileError with every mistake."""
    if source.startswith(_WIDE_MARKS):
        told = "this log was saved as UTF-16, and rows cannot be added to it; save it as UTF-8 (in the editor: Save as)"
        raise LogFileError([Problem(file, 0, 0, told)])
    source, empty = _without_empty_bytes(source)
    if sum(1 for _ in _ROWS_BEGIN.finditer(source)) > _MOST_ROWS:
        raise LogFileError([Problem(file, 0, 0, _TOO_MANY_ROWS)])
    whole, torn = _without_torn_rows(source, file)
    remarks = [f"{file}: {_EMPTY.format(count=empty)}"] if empty else []
    remarks += [f"{file}:{line}: {_TORN.format(text=text[:_MOST_SHOWN])}" for line, text in torn]
    if not _rows_begin(whole):
        if rest := next((n for n, line in enumerate(whole.splitlines(), 1) if not _is_blank(line)), None):
            raise LogFileError([Problem(file, rest, 1, _NO_ROW)])
        return Log((), tuple(remarks))
    try:
        tree, problems = read_tree(whole, file, most_entries=_MOST_ENTRIES)
    except ScenarioError as error:
        raise LogFileError(_of_a_log(p) for p in error.problems) from None
    if not isinstance(tree.data, list):
        raise LogFileError([*map(_of_a_log, problems), Problem(file, *tree.mark, _NO_ROW)])
    reader = RowReader(file, tree)
    rows = [reader.row((n,)) for n in reader.items(())]
    if problems or reader.problems:
        raise LogFileError([*map(_of_a_log, problems), *reader.problems])
    written = [row for row in rows if row is not None]
    kept, said = without_doubles(written, file)
    return Log(tuple(sorted(kept, key=in_order)), (*remarks, *reader.remarks, *said, *_out_of_order(written, file)))


_NO_ROW = "a row of a log begins with '- {' and a line is one row; this is something else"
_TORN = (
    "this row was cut off while it was written, and does not count: {text} ... It is left there as it is; record what "
    "it says again, then delete it"
)


_TOO_MANY_ROWS = f"these are more than {_MOST_ROWS:,} rows, and a winter has some thousand; is this the right file?"
_TOO_MANY_TORN = (
    f"by here {_MOST_TORN:,} rows are not whole, which is more than can have been cut off while they were written; is "
    "this the right file?"
)
_EMPTY = "{count} bytes in it are empty, as a power cut can leave them; look whether a row is missing at the end"


def _of_a_log(problem: Problem) -> Problem:
    text = problem.text.replace("a scenario is a few hundred lines", "a log is some thousand lines")
    return Problem(problem.file, problem.line, problem.column, text)


def without_doubles(entries: Iterable[Entry], file: str = "") -> tuple[list[Entry], list[str]]:
    """Each entry once, and what to remark: rows that say the same under the same id count once, others each."""
    by_id: dict[str, dict[Entry, Entry]] = defaultdict(dict)
    kept, equal, other = [], [], []
    for entry in entries:
        same = by_id[entry.id]
        if entry in same:
            equal.append(f"{_place(entry, file)} is the row of {_place(same[entry], file)} once more")
            continue
        if same:
            first = next(iter(same))
            other.append(f"{_place(entry, file)} has the id of {_place(first, file)} and says something else")
        same[entry] = entry
        kept.append(entry)
    remarks = []
    if equal:
        remarks.append(f"{_some(equal)}: such rows count once.")
    if other:
        told = "both count. If one is the other put right, delete the wrong one"
        remarks.append(f"{_some(other)}: {told}; if both were done, delete the id of the second.")
    return kept, remarks


def _place(entry: Entry, file: str) -> str:
    where = f"line {entry.line}" if entry.line is not None else f"the row of {entry.day}"
    return f"{file}, {where}" if file else where


def _some(sentences: list[str]) -> str:
    more = len(sentences) - 3
    return listed([*sentences[:3], *([f"{more} more"] if more > 0 else [])])


def _out_of_order(written: list[Entry], file: str) -> Iterator[str]:
    late = [entry for before, entry in pairwise(written) if entry.day < before.day]
    if late:
        lines = listed([*(str(e.line) for e in late[:5]), *([f"{len(late) - 5} more"] if len(late) > 5 else [])])
        which = f"line {lines} is" if len(late) == 1 else f"lines {lines} are each"
        yield (
            f"{file}: {which} of an earlier day than the row before: recorded later, or by a clock that was set back. "
            f"{TAKEN_BY_DAY}"
        )


def _is_blank(line: bytes) -> bool:
    return not line.strip() or line.lstrip().startswith((b"#", b"---"))


def _rows_begin(source: bytes) -> bool:
    return any(_ROW_BEGINS.match(line) for line in source.removeprefix(_UTF8_MARK).splitlines())


def _without_empty_bytes(source: bytes) -> tuple[bytes, int]:
    """What a power cut leaves where a row was to be; many at the beginning are text of another encoding instead."""
    if b"\0" in source[:200].rstrip(b"\0"):
        return source, 0
    return source.replace(b"\0", b""), source.count(b"\0")


def _without_torn_rows(source: bytes, file: str) -> tuple[bytes, list[tuple[int, str]]]:
    """The file with rows that were cut off made into empty lines, and these rows with their lines.

    Raises LogFileError where they are too many to have been cut off.
    """
    lines = re.split(rb"(?<=\n)", source)
    begins = [n for n, line in enumerate(lines) if _ROW_BEGINS.match(line.removeprefix(_UTF8_MARK))]
    torn: list[tuple[int, str]] = []
    for first, after in pairwise([*begins, len(lines)]):
        text = b"".join(lines[first:after]).removeprefix(_UTF8_MARK)
        if _looks_whole(text) or not _is_torn(text):
            continue
        rest = [n for n in range(first, after) if n == first or not _is_blank(lines[n])]
        if len(torn) == _MOST_TORN:
            raise LogFileError([Problem(file, first + 1, 1, _TOO_MANY_TORN)])
        torn.append((first + 1, b"".join(lines[n] for n in rest).decode("utf-8", "replace").strip()))
        for n in rest:
            lines[n] = b"\n" if lines[n].endswith(b"\n") else b""
    return b"".join(lines), torn


def _looks_whole(row: bytes) -> bool:
    """Quick and nearly always right: whatever does not look so is looked at closely."""
    return row.rstrip().endswith(b"}") and row.count(b'"') % 2 == 0


def _is_torn(row: bytes) -> bool:
    if len(row) > _LONGEST_ROW:
        return False
    text = row.decode("utf-8", "replace").replace("\ufffd", "?").rstrip()
    if text in {"-", ""}:
        return True
    return text.lstrip("- ").startswith("{") and not _closes(text) and not _is_yaml(text)


def _closes(text: str) -> bool:
    """Whether the brackets opened in a row, outside of double quotes, are all closed again."""
    depth, within, escaped = 0, False, False
    for character in text:
        if within:
            within = escaped or character != '"'
            escaped = character == "\\" and not escaped
        elif character == '"':
            within = True
        else:
            depth += (character in "{[") - (character in "}]")
    return depth <= 0 and not within


def _is_yaml(text: str) -> bool:
    try:
        for _ in yaml.parse(text, Loader=yaml.SafeLoader):
            pass
    except yaml.YAMLError:
        return False
    return True
