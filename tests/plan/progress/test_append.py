"""Rows are added whole or not at all, by any number of writers, and nothing that was there is ever changed."""

from __future__ import annotations

import resource
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from offseason.plan.progress.append import HEAD, CannotAppendError, append, held
from offseason.plan.progress.log import read_log
from offseason.plan.progress.rows import entry_text
from tests.plan.progress.yards import entry

ROOT = Path(__file__).parents[3]
WRITER = """
import sys
from datetime import date
from pathlib import Path
from offseason.plan.progress.append import CannotAppendError, append
from offseason.plan.progress.entry import Entry
path, who, rows, size = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
print("ready", flush=True)
sys.stdin.readline()
for n in range(rows):
    day, maren = date(2026, 10, 12), ("Maren",)
    append(path, [Entry(f"{who}-{n}", day, maren, "super combs", "freeze", n + 1, note="x" * size)])
    print(n, flush=True)
"""


def writer(path: Path, who: str, rows: int, size: int = 10, **more) -> subprocess.Popen[str]:
    """A process that adds rows one by one as soon as it is told to, and tells of each that is in the log."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), who, str(rows), str(size)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        **more,
    )
    assert process.stdout.readline() == "ready\n"
    return process


def test_a_new_log_begins_with_what_it_is_and_then_has_its_rows(tmp_path):
    path = tmp_path / "winter.log.yaml"
    one, two = entry(80, "freeze", "super combs"), entry(20, "seal", "super combs")
    append(path, [one])
    append(path, [two])
    assert path.read_text("utf-8") == f"{HEAD}{entry_text(one)}\n{entry_text(two)}\n"
    assert [e.line for e in read_log(path).entries] == [4, 5]


def test_what_was_there_stays_as_it_is_to_the_byte(tmp_path):
    path = tmp_path / "winter.log.yaml"
    before = b"\xef\xbb\xbf# mine\r\n- {date: 2026-10-12, who: Maren, lot: a, step: b, pieces: 1}   # by hand\r\n"
    path.write_bytes(before)
    path.chmod(0o600)
    append(path, [entry(80, "freeze", "super combs")])
    assert path.read_bytes().startswith(before)
    assert len(read_log(path).entries) == 2
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_row_that_was_cut_off_keeps_its_place_and_the_next_one_a_line_of_its_own(tmp_path):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    with path.open("ab") as stream:
        stream.write(entry_text(entry(40, "seal", "super combs"))[:50].encode())
    before = path.read_bytes()
    with held(path) as log:
        line = log.append([entry(20, "seal", "super combs")])
    assert path.read_bytes().startswith(before + b"\n- {id:")
    log = read_log(path)
    assert [e.pieces for e in log.entries] == [80, 20]
    assert [e.line for e in log.entries] == [4, line]
    assert "winter.log.yaml:5: this row was cut off" in log.remarks[0]


def test_the_line_of_the_first_row_is_told(tmp_path):
    path = tmp_path / "winter.log.yaml"
    with held(path) as log:
        first = log.append([entry(80, "freeze", "super combs"), entry(20, "seal", "super combs")])
        assert first == log.read().entries[0].line
        assert log.append([entry(7, "seal", "super combs", day=20)]) == log.read().entries[2].line


def test_many_writers_at_once_lose_nothing_and_tear_nothing(tmp_path):
    path = tmp_path / "winter.log.yaml"
    writers = [writer(path, f"w{n}", 25) for n in range(5)]
    for process in writers:
        process.stdin.write("go\n")
        process.stdin.flush()
    for process in writers:
        process.communicate(timeout=300)
        assert process.returncode == 0
    log = read_log(path)
    assert sorted(e.id for e in log.entries) == sorted(f"w{w}-{n}" for w in range(5) for n in range(25))
    assert [r for r in log.remarks if "cut off" in r] == []
    assert path.read_text("utf-8").count("# What was done") == 1


def test_whenever_a_writer_is_killed_what_it_had_told_of_is_there_and_the_next_can_write(tmp_path):
    path = tmp_path / "winter.log.yaml"
    told: set[str] = set()
    for turn in range(4):
        process = writer(path, f"k{turn}", 100_000, size=500)
        process.stdin.write("go\n")
        process.stdin.flush()
        process.stdout.readline()
        time.sleep(0.01 + 0.013 * turn)
        process.send_signal(signal.SIGKILL)
        out, _ = process.communicate(timeout=300)
        told |= {f"k{turn}-{n}" for n in ["0", *out.split("\n")[:-1]]}
        append(path, [entry(1, "seal", "super combs", id=f"after{turn}")])
        told.add(f"after{turn}")
        assert told <= {e.id for e in read_log(path).entries}
    ids = [e.id for e in read_log(path).entries]
    assert len(ids) == len(set(ids))


def limited(size: int):
    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    return limit


@pytest.mark.parametrize("room", [0, 40])
def test_a_full_disk_is_told_and_leaves_the_log_as_it_was(tmp_path, room):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    before = path.read_bytes()
    process = writer(path, "w", 1, size=400, preexec_fn=limited(len(before) + room), stderr=subprocess.PIPE)
    _, error = process.communicate("go\n", timeout=300)
    assert process.returncode == 1
    assert "there is no room left for it; make room" in error
    assert "Nothing was recorded, and the log is as it was." in error
    assert path.read_bytes() == before
    append(path, [entry(20, "seal", "super combs")])
    assert path.read_bytes().startswith(before)


def test_a_disk_too_full_for_a_new_log_leaves_none(tmp_path):
    path = tmp_path / "winter.log.yaml"
    process = writer(path, "w", 1, preexec_fn=limited(30), stderr=subprocess.PIPE)
    assert "there is no room left" in process.communicate("go\n", timeout=300)[1]
    assert list(tmp_path.iterdir()) == []


def test_a_log_that_another_holds_for_ever_is_not_waited_for_for_ever(tmp_path, monkeypatch):
    monkeypatch.setattr("offseason.plan.progress.locking.LONGEST_WAIT_S", 0.1)
    path = tmp_path / "winter.log.yaml"
    with held(path), pytest.raises(CannotAppendError, match="another program has been writing to it"):
        append(path, [entry(80, "freeze", "super combs")])
    append(path, [entry(80, "freeze", "super combs")])
    assert len(read_log(path).entries) == 1


def test_a_log_put_in_its_place_by_an_editor_while_waiting_is_the_one_written_to(tmp_path):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs", id="old")])
    with held(path):
        process = writer(path, "w", 1)
        process.stdin.write("go\n")
        process.stdin.flush()
        time.sleep(0.3)
        new = tmp_path / "edited"
        new.write_bytes(path.read_bytes())
        new.replace(path)
    process.communicate(timeout=300)
    assert {e.id for e in read_log(path).entries} == {"old", "w-0"}


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("nowhere/winter.log.yaml", "there is no such folder"),
        (".", "this is not a file"),
        ("a\0b", "not a name a file"),
    ],
)
def test_where_no_log_can_be_it_is_told(tmp_path, name, says):
    with pytest.raises(CannotAppendError, match=says):
        append(tmp_path / name, [entry(80, "freeze", "super combs")])


def test_a_log_of_which_a_power_cut_left_only_empty_bytes_begins_anew_and_is_read(tmp_path):
    path = tmp_path / "winter.log.yaml"
    path.write_bytes(b"\0" * 300)
    append(path, [entry(80, "freeze", "super combs")])
    assert path.read_bytes().startswith(b"\0" * 300 + b"\n" + HEAD.encode())
    assert [e.pieces for e in read_log(path).entries] == [80]


def test_a_press_of_ctrl_c_while_a_row_is_written_leaves_the_log_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    before = path.read_bytes()

    presses = [KeyboardInterrupt()]

    def while_it_waits_for_the_disk(_: int) -> None:
        if presses:
            raise presses.pop()

    monkeypatch.setattr("offseason.plan.progress.append.os.fsync", while_it_waits_for_the_disk)
    with held(path) as log, pytest.raises(KeyboardInterrupt):
        log.append([entry(20, "seal", "super combs")])
    assert path.read_bytes() == before


def test_a_log_put_in_its_place_while_a_row_is_written_is_told_and_not_taken_for_written(tmp_path):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    before = path.read_bytes()
    with held(path) as log:
        (tmp_path / "copy").write_bytes(before)
        (tmp_path / "copy").replace(path)
        with pytest.raises(
            CannotAppendError, match="another program put another file in its place in this very moment"
        ):
            log.append([entry(20, "seal", "super combs")])
    assert path.read_bytes() == before
