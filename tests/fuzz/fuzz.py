"""Coverage-guided fuzzing of one reader: ``python tests/fuzz/fuzz.py READER --seconds N`` (needs ``offseason[fuzz]``).

Anything but a value or the reader's own sentence is a loss, and so is an input that takes more than 5 s or 1 GB. Each
loss is tried once more by itself, made as small as it can be, and put into the corpus, where ``test_hostile.py`` reads
it again; ``--one FILE`` shows what comes of a single file. ``--grow`` adds inputs to the corpus that reach what none in
it does. The figures of a run of 600 s or more are kept in ``figures.json``.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from tests.tools.kept_figures import figure, keep  # noqa: E402  found from the root of the repository

# The readers themselves are imported late: what is imported before it is instrumented is fuzzed blindly.
READERS = sorted(folder.name for folder in (HERE / "corpus").iterdir())
MORE_SEEDS = {"scenario": [str(HERE.parent / "broken")]}
"""Small files of all kinds that there are anyway."""

KEPT_FROM_S = 600
MOST_SECONDS_EACH = 5
MOST_MB = 1_024
LONGEST_BYTES = 8_192
MOST_LOSSES = 20


def main() -> int:
    parser = argparse.ArgumentParser(description="Fuzz one reader of files, guided by coverage.")
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("--seconds", type=int, default=KEPT_FROM_S)
    parser.add_argument("--keep-figures", action="store_true", help=f"also of a run shorter than {KEPT_FROM_S} s")
    parser.add_argument("--grow", action="store_true", help="add inputs to the corpus that reach new lines")
    parser.add_argument("--one", type=Path, metavar="FILE", help="read this one file, and show what comes of it")
    given = parser.parse_args()
    if given.one:
        return subprocess.run(
            [sys.executable, HERE / "shrink.py", given.reader, given.one, "--show"], check=False
        ).returncode
    with tempfile.TemporaryDirectory() as folder:
        return _run(given, Path(folder))


def _run(given: argparse.Namespace, folder: Path) -> int:
    reader = given.reader
    for name in ("found", "grown", "file"):
        (folder / name).mkdir()
    tried, began = 0, time.monotonic()
    while (left := given.seconds - (time.monotonic() - began)) >= 1 and len(_found(folder)) < MOST_LOSSES:
        # what is too slow or too large ends the process, and the rest of the time is still used
        said = _fuzzed(reader, round(left), folder)
        counts = re.findall(r"number_of_executed_units:\s*(\d+)", said)
        if not counts or "no interesting inputs were found" in said:
            print(said[-4_000:], file=sys.stderr)
            print("the fuzzer did not run to its end, or blindly; no figures are kept", file=sys.stderr)
            return 2
        tried += int(counts[-1])
    seconds = time.monotonic() - began
    losses = [kept for path in _found(folder) if (kept := _kept(reader, path))]
    command = f"python tests/fuzz/fuzz.py {reader} --seconds {given.seconds}"
    found = figure(f"fuzzing: {reader}", command + " --grow" * given.grow, tried, len(losses), seconds)
    if given.seconds >= KEPT_FROM_S or given.keep_figures:
        keep(__file__, found)
    else:
        print(json.dumps(found))
    for path in losses:
        print(f"lost: {path}; to see it again: python tests/fuzz/fuzz.py {reader} --one {path}", file=sys.stderr)
    if given.grow:
        subprocess.run([sys.executable, HERE / "grow.py", reader, folder / "grown"], check=True)
    return 1 if losses else 0


def _fuzzed(reader: str, seconds: int, folder: Path) -> str:
    """What the fuzzer said of one run, which ends at its time or at an input that is too slow or too large."""
    options = [
        f"-max_total_time={seconds}", f"-timeout={MOST_SECONDS_EACH}", f"-rss_limit_mb={MOST_MB}",
        f"-max_len={LONGEST_BYTES}", f"-dict={HERE / 'words.dict'}", f"-artifact_prefix={folder / 'found'}/",
        "-print_final_stats=1", str(folder / "grown"), str(HERE / "corpus" / reader), *MORE_SEEDS.get(reader, ()),
    ]  # fmt: skip
    command = [sys.executable, __file__, "--inside", reader, str(folder), *options]
    return subprocess.run(command, capture_output=True, check=False, text=True, errors="replace").stderr


def _found(folder: Path) -> list[Path]:
    return [one for one in sorted((folder / "found").iterdir()) if not one.name.startswith("slow-unit")]


def _kept(reader: str, found: Path) -> Path | None:
    """Where in the corpus the loss is, made small; None for what was only slow because the machine was busy."""
    ran = subprocess.run([sys.executable, HERE / "shrink.py", reader, found], check=False)
    if ran.returncode == 0:
        print(f"{found.name} was too slow once, and not when tried again; it does not count", file=sys.stderr)
        return None
    data = found.read_bytes()
    path = HERE / "corpus" / reader / f"found-{hashlib.sha256(data).hexdigest()[:12]}"
    path.write_bytes(data)
    return path


def _inside(reader: str, folder: Path, options: list[str]) -> None:
    """The process that libFuzzer drives, and ends."""
    import atheris  # noqa: PLC0415  only this command needs it

    with atheris.instrument_imports(include=["offseason"]):
        from readers import refusal  # noqa: PLC0415  instrumented as it is imported
    from shrink import place_of  # noqa: PLC0415  after it: it imports the readers too

    def one(data: bytes) -> None:
        try:
            refusal(reader, data, folder / "file")
        except Exception as error:  # noqa: BLE001  each is a loss; of those from one place the shortest is kept
            digest = hashlib.sha256(place_of(error).encode()).hexdigest()[:12]
            path = folder / "found" / f"error-{digest}"
            if not path.exists() or len(data) < path.stat().st_size:
                path.write_bytes(data)

    atheris.Setup([sys.argv[0], *options], one)
    atheris.Fuzz()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--inside"]:
        _inside(sys.argv[2], Path(sys.argv[3]), sys.argv[4:])
    else:
        sys.exit(main())
