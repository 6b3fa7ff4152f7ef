"""Coverage-guided fuzzing of one reader: ``python tests/fuzz/fuzz.py READER --seconds N`` (needs ``offseason[fuzz]``).

Anything but a value or the reader's own sentence is a loss, and so is an input that takes more than 5 s or 1 GB. The
input is put into the corpus, where ``test_hostile.py`` reads it again, and the figures into ``figures.json``.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]
READERS = ("scenario", "plan", "log", "weather", "remedies")
MOST_SECONDS_EACH = 5
MOST_MB = 1_024
LONGEST_BYTES = 8_192


def main() -> int:
    parser = argparse.ArgumentParser(description="Fuzz one reader of files, guided by coverage.")
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("--seconds", type=int, default=600)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        return _run(given.reader, given.seconds, Path(folder))


def _run(reader: str, seconds: int, folder: Path) -> int:
    for name in ("found", "grown", "file"):
        (folder / name).mkdir()
    options = [
        f"-max_total_time={seconds}", f"-timeout={MOST_SECONDS_EACH}", f"-rss_limit_mb={MOST_MB}",
        f"-max_len={LONGEST_BYTES}", f"-dict={HERE / 'words.dict'}", f"-artifact_prefix={folder / 'found'}/",
        "-print_final_stats=1", str(folder / "grown"), str(HERE / "corpus" / reader),
    ]  # fmt: skip
    began = time.monotonic()
    ran = subprocess.run(
        [sys.executable, __file__, "--inside", reader, str(folder / "file"), *options],
        capture_output=True,
        check=False,
        text=True,
        errors="replace",
    )
    counts = re.findall(r"number_of_executed_units:\s*(\d+)", ran.stderr)
    found = [one for one in (folder / "found").iterdir() if not one.name.startswith("slow-unit")]
    if not counts or (ran.returncode and not found):
        print(ran.stderr[-4_000:], file=sys.stderr)
        print("the fuzzer itself did not run to its end; no figures are written", file=sys.stderr)
        return 2
    for one in found:
        (HERE / "corpus" / reader / f"found-{one.name[-12:]}").write_bytes(one.read_bytes())
    figure = {
        "what": f"fuzzing: {reader}",
        "command": f"python tests/fuzz/fuzz.py {reader} --seconds {seconds}",
        "tried": int(counts[-1]),
        "losses": len(found),
        "seconds": round(time.monotonic() - began),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    path = HERE / "figures.json"
    kept = json.loads(path.read_text(encoding="utf-8")) if path.exists() else []
    path.write_text(json.dumps([*kept, figure], indent=1) + "\n", encoding="utf-8")
    print(json.dumps(figure))
    if found:
        print(ran.stdout[-3_000:], ran.stderr[-3_000:], file=sys.stderr)
    return 1 if found else 0


def _inside(reader: str, folder: Path, options: list[str]) -> None:
    """The process that libFuzzer drives, and ends."""
    import atheris  # noqa: PLC0415  # only this command needs it

    with atheris.instrument_imports(include=["offseason"]):
        from readers import refusal  # noqa: PLC0415  # instrumented as it is imported

    def one(data: bytes) -> None:
        refusal(reader, data, folder)

    atheris.Setup([sys.argv[0], *options], one)
    atheris.Fuzz()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--inside"]:
        _inside(sys.argv[2], Path(sys.argv[3]), sys.argv[4:])
    else:
        sys.exit(main())
