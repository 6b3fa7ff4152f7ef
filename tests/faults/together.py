"""``python tests/faults/together.py [--rounds N]``: two or more commands at the same time on the same files.

Needs nothing but time: some minutes. Each must end well or say what to do, and what was there before must still be.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from offseason.plan.file import read_plan  # noqa: E402  also run by itself
from offseason.plan.progress.log import read_log  # noqa: E402  also run by itself
from offseason.scenario.read import read_scenario  # noqa: E402  also run by itself
from tests.faults.judged import LEFT_OVER, told  # noqa: E402  also run by itself
from tests.faults.yard import CASES, RECORD, Ran, before, files_in, put, started  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself


@dataclass(frozen=True)
class AtOnce:
    """Commands that are started together, in the folder of a case."""

    case: str
    words: tuple[tuple[str, ...], ...]


def _of(name: str, times: int = 2) -> AtOnce:
    return AtOnce(name, (CASES[name].words,) * times)


PAIRS = {
    "start and start": _of("start", 4),
    "plan and plan": _of("plan-over"),
    "replan and replan": _of("replan"),
    "record and replan": AtOnce("replan", (RECORD, CASES["replan"].words)),
    "record and record": _of("record-first", 4),
    "share and share": _of("share-over"),
    "share and share, new folder": _of("share"),
    "share and replan": AtOnce("replan", (CASES["share"].words, CASES["replan"].words)),
    "remedies and remedies": _of("remedies-over"),
    "pace and pace": _of("pace"),
    "carry-over and carry-over": _of("carry-over"),
}


def together(pair: AtOnce) -> tuple[str, ...]:
    """What was lost, or told wrongly, when the commands were started at the same time."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(pair.case))
        every = [started(folder, words) for words in pair.words]
        ran = []
        for process in every:
            said, _ = process.communicate(timeout=300)
            ran.append(Ran(process.returncode, " ".join(said.split())))
        return (*_told_wrongly(ran), *_lost(pair, ran, folder))


def _told_wrongly(ran: list[Ran]) -> Iterator[str]:
    for one in ran:
        if one.code not in {0, 2, 3} or "Traceback" in one.said:
            yield f"one ends with {one.code}: {one.said[-300:]}"
        if one.code == 2 and not any(todo in one.said for todo in ("name another", "run this again", "try again")):
            yield f"one does not say what to do: {one.said[-300:]}"
    if not any(one.code in {0, 3} for one in ran):
        yield f"none of them ends well: {ran[0].said[-300:]}"


def _lost(pair: AtOnce, ran: list[Ran], folder: Path) -> Iterator[str]:
    was, now = before(pair.case), files_in(folder)
    for name, content in was.items():
        kept = (now.get(name), now.get(f"{name}.before"))
        if name.startswith("out/") or name.endswith(".remedies.yaml"):
            continue  # made anew each time, from what is kept elsewhere
        if name.endswith(".log.yaml"):
            if not (kept[0] or b"").startswith(content):
                yield f"rows of {name} are lost"
        elif content not in kept and not _one_after_another(ran):
            yield f"{name} as it was is neither there nor kept"
    if left := sorted(filter(LEFT_OVER.search, now)):
        yield f"{', '.join(left)} is left over"
    yield from _not_whole(folder)
    recorded = sum(one.code == 0 and "Recorded in" in one.said for one in ran)
    rows = was.get("winter.log.yaml", b"").count(b"\n- {") + was.get("winter.log.yaml", b"").startswith(b"- {")
    if recorded and len(read_log(folder / "winter.log.yaml").entries) != rows + recorded:
        yield "a row that was told of is not in the log, or twice"


def _one_after_another(ran: list[Ran]) -> bool:
    """Whether the second began when the first had written: then what is kept is the first one's, as it always is."""
    return all(one.code in {0, 3} and "before is kept in" in one.said for one in ran)


def _not_whole(folder: Path) -> Iterator[str]:
    for path in sorted(folder.rglob("*.yaml*")):
        try:
            if ".plan." in path.name:
                read_plan(path)
            elif ".log." in path.name:
                if any("cut off" in remark for remark in read_log(path).remarks):
                    yield f"{path.name} has a row that is cut off"
            elif ".remedies." not in path.name:
                read_scenario(path)
        except Exception as error:  # noqa: BLE001  whatever it is, the file is not whole
            yield f"{path.name} cannot be read: {error}"
    if (folder / "out").is_dir():
        listed = json.loads((folder / "out" / ".offseason-share").read_bytes())["files"]
        if missing := [name for name in listed if not (folder / "out" / name).is_file()]:
            yield f"shared, and not there: {', '.join(missing)}"


def main() -> int:
    parser = argparse.ArgumentParser(description="Start commands at the same time on the same files.")
    parser.add_argument("--rounds", type=int, default=5, metavar="N", help="of each pair (5)")
    given = parser.parse_args()
    total = 0
    for name, pair in PAIRS.items():
        began = time.monotonic()
        lost = sum(len(told(together(pair), f"{name}, round {n + 1}")) for n in range(given.rounds))
        command = f"python tests/faults/together.py --rounds {given.rounds}"
        keep(__file__, figure(f"at the same time: {name}", command, given.rounds, lost, time.monotonic() - began))
        total += lost
    return 1 if total else 0


if __name__ == "__main__":
    sys.exit(main())
