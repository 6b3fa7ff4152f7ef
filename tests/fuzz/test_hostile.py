"""A file from someone else can be nonsense or malice: every reader ends soon, in little memory, with a sentence."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from offseason.scenario.decode import MAX_BYTES
from tests.fuzz.readers import READERS, refusal

HERE = Path(__file__).parent
# What a keeper waits for before closing the window, on an old computer busy with other things; and what one with 4 GB
# of memory can spare beside its browser.
MOST_SECONDS = 60
MOST_MB = 1_024
_ONE = """
import json, resource, sys
from pathlib import Path
sys.path.insert(0, sys.argv[3])
from readers import refusal
said = refusal(sys.argv[1], Path(sys.argv[2]).read_bytes(), Path(sys.argv[2]).parent)
print(json.dumps([said, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024]))
"""
YAML = ("scenario", "plan", "log", "remedies")
CORPUS = sorted(path for path in (HERE / "corpus").glob("*/*") if path.is_file())


def _refused(reader: str, data: bytes) -> str | None:
    """What the reader says, in a process of its own that is held to time and memory."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hostile"
        path.write_bytes(data)
        command = [sys.executable, "-c", _ONE, reader, str(path), str(HERE)]
        ran = subprocess.run(command, capture_output=True, check=False, timeout=MOST_SECONDS, text=True)
    assert ran.returncode == 0, ran.stderr[-2_000:]
    said, megabytes = json.loads(ran.stdout)
    assert megabytes < MOST_MB
    return said


@pytest.mark.parametrize("reader", READERS)
def test_every_file_kept_from_fuzzing_gives_a_value_or_a_sentence(reader, tmp_path):
    kept = [path for path in CORPUS if path.parent.name == reader]
    assert kept
    for path in kept:
        try:
            refusal(reader, path.read_bytes(), tmp_path)
        except Exception as error:
            raise AssertionError(f"the reader of a {reader} is lost on {path.name}") from error


def test_the_corpus_stays_small():
    assert len(CORPUS) < 200
    assert sum(path.stat().st_size for path in CORPUS) < 500_000


def _aliases_of_aliases() -> bytes:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 15)]
    return "\n".join(lines).encode()


SMALL = {
    "aliases of aliases": _aliases_of_aliases(),
    "deep lists": b"a: " + b"[" * 100_000,
    "empty bytes": b"\0" * 10_000,
    "letters of another encoding": b"season: \xff\xfe\xfa",
    "a tag of Python": b"!!python/object/apply:os.system ['touch made']",
    "a number too large": b"season: {from: 1e400, until: -.inf}",
    "a long number": b"season: " + b"9" * 100_000,
    "thousands of mistakes": b"".join(b"wurk%d: 1\n" % n for n in range(9_000)),
}


@pytest.mark.parametrize("kind", SMALL)
@pytest.mark.parametrize("reader", YAML)
def test_nasty_yaml_is_refused_in_a_sentence(reader, kind, tmp_path):
    said = refusal(reader, SMALL[kind], tmp_path)
    # A log that is nothing but empty bytes is what a power cut leaves: it is read, with a remark.
    assert said or (reader, kind) == ("log", "empty bytes")
    assert len(said or "") < 30_000  # nobody reads more


LARGE = {
    "one line": b"a" * MAX_BYTES,
    "many keys": b"".join(b"k%07d: 1\n" % n for n in range(800_000)),
    "many rows": b"- {a: 1}\n" * 1_000_000,
    "a comma at every place": b"[" + b"," * (MAX_BYTES - 1),
    "more than may be": b"a" * (MAX_BYTES + 1),
    "quotes": b'"' * MAX_BYTES,
    "no visible letter": b"\x01" * 1_000_000,
}
ROW = b"- {id: x%d, date: 2026-11-01, who: [Ines], lot: combs, step: freeze, pieces: 1}\n"
LOGS = {
    "rows without an end": b"- {\n" * 2_000_000,
    "a row without an end": b"- {\n" + b"a,\n" * 3_000_000,
    "dashes": b"-\n" * 5_000_000,
    "rows of one id": b"".join(ROW.replace(b"x%d", b"x").replace(b": 1}", b": %d}" % n) for n in range(1, 25_000)),
    "as many good rows as go into it": b"".join(ROW % n for n in range(110_000)),
    "a row of a million people": b"- {date: 2026-11-01, lot: a, step: b, pieces: 1, who: [" + b"x, " * 200_000 + b"x]}",
}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("reader", "kind"),
    [(reader, kind) for reader in YAML for kind in LARGE if reader == "scenario" or kind in ("one line", "many rows")],
)
def test_ten_megabytes_of_nonsense_are_refused_in_time_and_memory(reader, kind):
    assert _refused(reader, LARGE[kind])


@pytest.mark.slow
@pytest.mark.parametrize("kind", LOGS)
def test_a_log_of_ten_megabytes_is_read_or_refused_in_time_and_memory(kind):
    said = _refused("log", LOGS[kind])
    assert said if kind != "rows of one id" else said is None


WEATHER = {
    "a million columns": b"time" + b",a" * 1_000_000 + b"\n1" + b",1" * 1_000_000,
    "a million rows": b"time [UTC],temp [C]\n" + b"x,1\n" * 1_000_000,
    "one line": b"a" * MAX_BYTES,
    "numbers too large": b"time [UTC],temperature [C]\n2020-01-01 00:00,1e400\n2020-01-01 01:00,nan\n",
    "years apart": b"time [UTC],temperature [C]\n0001-01-01 00:00,1\n9999-12-31 23:00,1\n",
    "an open quote": b'time,"' + b"a\n" * 1_000_000,
    "empty bytes": b"\0" * 1_000_000,
    # the longest line of names there may be, of words or spaces only
    "a heading of blanks": b"time [UTC],x" + b" " * 19_000 + b"]\n1,2\n",
    "headings of many words": (b"a " * 9_500 + b",b\n") * 500,
}


@pytest.mark.slow
@pytest.mark.parametrize("kind", WEATHER)
def test_nasty_records_are_refused_in_time_and_memory(kind):
    assert _refused("weather", WEATHER[kind])


def test_nothing_in_a_file_is_run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    made = tmp_path / "made"
    for tag in ("object/apply:os.system ['touch", "object/new:os.system ['touch"):
        for reader in YAML:
            assert refusal(reader, f"a: !!python/{tag} {made}']\n".encode(), tmp_path)
    assert not made.exists()
