"""Whatever comes between, a keeper's files are as they were or as they were to be. In full: ``kill.py`` and others."""

from __future__ import annotations

import fcntl
import json
import os
import sys
from pathlib import Path

import pytest

import offseason.commands
import offseason.commands.plan
from offseason.cli import main
from offseason.plan import whole
from offseason.plan.alone import alone_beside
from offseason.plan.file import read_plan
from offseason.plan.progress.append import held
from offseason.plan.whole import LEFT_OVER_AFTER_S, put_new, write_whole
from offseason.share import target as targets
from offseason.solver import cpsat
from tests.faults.kill import Hit, calls_of, hit
from tests.faults.stop import pressed
from tests.faults.together import PAIRS, together
from tests.faults.tracing import traced
from tests.faults.yard import CASES, WINTER

FAST = ("--effort", "1", "--quiet")


@pytest.fixture
def winter(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_bytes(WINTER)
    return file


@pytest.fixture
def planned(winter):
    assert main(["plan", str(winter), *FAST]) == 0
    return winter.with_name("winter.plan.yaml")


def left_over(folder: Path, age_s: float) -> Path:
    half = folder / ".0123456789abcdef.half-written"
    half.write_bytes(b"half")
    when = half.stat().st_mtime - age_s
    os.utime(half, (when, when))
    return half


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


# a kill


def test_a_start_that_is_killed_leaves_no_half_scenario_and_can_be_started_again(tmp_path):
    words = CASES["start"].words
    killed = traced(tmp_path, words, "link:signal=SIGKILL:when=1")
    assert killed.calls[-1].kind == "link"
    (half,) = tmp_path.iterdir()
    os.utime(half, (0, 0))
    assert main([words[0], str(tmp_path / words[1])]) == 0
    assert names(tmp_path) == ["winter.yaml"]


def test_what_a_kill_left_half_written_goes_with_the_next_file(tmp_path):
    left_over(tmp_path, LEFT_OVER_AFTER_S + 1)
    write_whole(tmp_path / "winter.plan.yaml", b"new")
    assert names(tmp_path) == ["winter.plan.yaml"]


def test_what_another_command_is_at_is_never_taken_for_left_over(tmp_path):
    with left_over(tmp_path, LEFT_OVER_AFTER_S + 1).open("rb") as stream:
        fcntl.flock(stream.fileno(), fcntl.LOCK_EX)
        write_whole(tmp_path / "winter.plan.yaml", b"new")
    assert names(tmp_path) == [".0123456789abcdef.half-written", "winter.plan.yaml"]


@pytest.mark.parametrize("age_s", [0, LEFT_OVER_AFTER_S - 60, -1_000_000_000])
def test_what_is_young_or_of_the_future_is_left_alone(tmp_path, age_s):
    half = left_over(tmp_path, age_s)
    write_whole(tmp_path / "winter.plan.yaml", b"new")
    assert half.read_bytes() == b"half"


def test_files_of_others_with_names_like_ours_stay(tmp_path):
    for name in ("half-written", ".mine.half-written", "x.0123456789abcdef.half-written"):
        (tmp_path / name).write_bytes(b"mine")
        os.utime(tmp_path / name, (0, 0))
    write_whole(tmp_path / "winter.plan.yaml", b"new")
    assert len(names(tmp_path)) == 4


# new files


@pytest.fixture(params=["with links", "without links"])
def disk(request, monkeypatch):
    """A disk on which a file can have two names, and one on which it cannot, as on most sticks."""

    def refused(*_):
        raise PermissionError(1, "Operation not permitted")

    if request.param == "without links":
        monkeypatch.setattr(os, "link", refused)


@pytest.mark.usefixtures("disk")
def test_a_new_file_is_written_whole_and_alone(tmp_path):
    put_new(tmp_path / "winter.yaml", b"new")
    assert (tmp_path / "winter.yaml").read_bytes() == b"new"
    assert names(tmp_path) == ["winter.yaml"]


@pytest.mark.usefixtures("disk")
def test_a_file_that_comes_while_a_new_one_is_written_is_never_written_over(tmp_path, monkeypatch):
    settle = os.fsync

    def another_comes(handle):
        (tmp_path / "winter.yaml").write_bytes(b"another's")
        settle(handle)

    monkeypatch.setattr(whole.os, "fsync", another_comes)
    with pytest.raises(FileExistsError):
        put_new(tmp_path / "winter.yaml", b"new")
    assert (tmp_path / "winter.yaml").read_bytes() == b"another's"
    assert names(tmp_path) == ["winter.yaml"]


@pytest.mark.usefixtures("disk")
def test_a_new_file_that_cannot_be_settled_is_not_there(tmp_path, monkeypatch):
    def broken(_):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(whole.os, "fsync", broken)
    assert main(["start", str(tmp_path / "winter.yaml")]) == 2
    assert names(tmp_path) == []


# two at once


def test_a_plan_that_came_meanwhile_is_not_written_over_and_the_old_one_stays_kept(planned, monkeypatch, capsys):
    first = planned.read_bytes() + b"# and a word of my own\n"
    planned.write_bytes(first)
    solve = offseason.commands.plan.solve

    def meanwhile(*args, **how):
        with monkeypatch.context() as patched:
            patched.setattr(offseason.commands.plan, "solve", solve)
            assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 0
        return solve(*args, **how)

    monkeypatch.setattr(offseason.commands.plan, "solve", meanwhile)
    assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "another program wrote it while this plan was made, so it was left as it is; run this again" in said
    assert planned.with_name("winter.plan.yaml.before").read_bytes() == first
    assert read_plan(planned).rows


def test_who_waits_too_long_for_another_is_told_what_to_do(planned, monkeypatch, capsys):
    before = planned.read_bytes()
    monkeypatch.setattr("offseason.plan.progress.locking.LONGEST_WAIT_S", 0.05)
    with alone_beside(planned):
        assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 2
    assert "another program keeps it from being written; end that, then run the command again" in " ".join(
        capsys.readouterr().err.split()
    )
    assert planned.read_bytes() == before


def test_a_log_that_was_made_for_nothing_goes_again(tmp_path):
    with pytest.raises(KeyboardInterrupt), held(tmp_path / "winter.log.yaml"):
        raise KeyboardInterrupt
    assert names(tmp_path) == []
    (tmp_path / "winter.log.yaml").touch()
    with held(tmp_path / "winter.log.yaml"):
        pass
    assert names(tmp_path) == ["winter.log.yaml"]


# no room


def test_a_folder_without_room_is_told_before_the_search(winter, monkeypatch, capsys):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: pytest.fail("searched"))
    monkeypatch.setattr(targets, "try_folder", full)
    assert main(["plan", str(winter), *FAST]) == 2
    assert "winter.plan.yaml cannot be written: there is no room left for it; make room" in capsys.readouterr().err


def test_a_row_that_could_not_be_taken_back_is_not_called_unrecorded(planned, monkeypatch, capsys):
    def broken(*_):
        raise OSError(5, "Input/output error")

    words = ["record", str(planned), "Ottilie", "scrape", "5", "feeders", "--today", "2026-10-09"]
    assert main(words) == 0
    monkeypatch.setattr("offseason.plan.progress.append.os.fsync", broken)
    monkeypatch.setattr("offseason.plan.progress.append.os.ftruncate", broken)
    capsys.readouterr()
    assert main(words) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "look at the last lines of the log before you record it again" in said
    assert "Nothing was recorded" not in said


# memory, and what is missing


def test_too_little_memory_is_no_fault_of_the_file_and_it_is_told_what_to_do(winter, monkeypatch, capsys):
    def starved(*_):
        raise MemoryError

    monkeypatch.setattr(offseason.commands, "build_workload", starved)
    assert main(["check", str(winter)]) == 70
    assert "There is not enough memory for this on the computer. Close other programs" in capsys.readouterr().err


def test_memory_that_runs_out_inside_the_search_is_heard_outside_of_it(monkeypatch):
    def starved(*_):
        raise MemoryError

    monkeypatch.setattr(cpsat.cp_model.CpSolver, "solve", starved)
    with pytest.raises(MemoryError):
        cpsat.run(cpsat.cp_model.CpModel(), seconds=1, workers=1, seed=0)


@pytest.mark.parametrize("package", ["ortools", "pydantic"])
def test_a_package_that_is_missing_is_named_with_how_to_put_it_in(package, winter, monkeypatch, capsys):
    def missing(*_):
        raise ModuleNotFoundError(f"No module named '{package}'", name=package)

    monkeypatch.setattr(offseason.commands, "build_workload", missing)
    assert main(["check", str(winter)]) == 70
    said = capsys.readouterr().err
    assert f"offseason is not whole here: '{package}', which it needs" in said
    assert f"{sys.executable} -m pip install ." in said


# names that look like ours


def test_a_pipe_with_the_name_of_a_left_over_is_neither_opened_nor_waited_for(tmp_path):
    pipe = tmp_path / ".0123456789abcdef.half-written"
    os.mkfifo(pipe)
    os.utime(pipe, (0, 0))
    write_whole(tmp_path / "winter.yaml", b"season")
    assert (tmp_path / "winter.yaml").read_bytes() == b"season"
    assert pipe.exists()


# figures


def test_the_figures_kept_are_of_runs_without_losses():
    figures = json.loads(Path(__file__).with_name("figures.json").read_text(encoding="utf-8"))
    assert sum(one["tried"] for one in figures if one["what"].startswith("killed at")) >= 200
    assert sum(one["tried"] for one in figures if one["what"].startswith("Ctrl-C")) >= 200
    assert [one for one in figures if one["losses"]] == []


# a sample of what kill.py and others try in full


@pytest.mark.slow
@pytest.mark.parametrize("name", ["plan-over", "record-first"])
def test_killed_at_some_of_its_calls_a_command_loses_nothing(name):
    calls = calls_of(name)
    for number in range(0, len(calls), max(1, len(calls) // 3)):
        assert hit(name, number, calls) == Hit(aimed=True), calls[number]


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "error"), [("write", "ENOSPC"), ("rename", "EIO")])
def test_a_plan_that_cannot_be_written_leaves_the_old_one_and_says_what_to_do(kind, error):
    calls = calls_of("plan-over")
    last = max(number for number, call in enumerate(calls) if call.kind == kind)
    assert hit("plan-over", last, calls, error) == Hit(aimed=True)


@pytest.mark.slow
@pytest.mark.parametrize("after_s", [0.9, 1.3])
def test_ctrl_c_while_a_plan_is_shared_leaves_each_file_whole(after_s):
    assert pressed("share-over", after_s) == ()


@pytest.mark.slow
@pytest.mark.parametrize("pair", ["start and start", "record and replan"])
def test_two_at_once_lose_nothing(pair):
    assert together(PAIRS[pair]) == ()
