"""What the keeper gets from each command, and with which exit code it ends."""

import errno
import os
import pathlib
import pty
import re
import signal
import stat
import subprocess
import sys
import time
from datetime import date

import pytest

import offseason.commands
import offseason.commands.plan
import offseason.solver
from offseason import __version__
from offseason.cli import main
from offseason.plan import whole
from offseason.plan.audit import Broken
from offseason.plan.file import read_plan
from offseason.share.ctrl_c import CtrlC
from offseason.trade.cautions import LAST_WORD
from offseason.workload.model import Leaving, Left, Schedule
from tests.tools.stopped_clock import stopped_clock

WINTER = """\
season: {name: Winter at Quillet Yard, from: 2026-10-05, until: 2026-10-31}
crew:
  Ines: {works: {mon-fri: [09:00-12:00]}}
  "Noël, the Younger": {works: {sat: [09:00-12:00]}}
places:
  bench: {seats: 1}
tasks:
  scrape: {minutes_each: 6, at: bench, caution: [dust]}
gear:
  brood boxes: {piece: langstroth deep box, count: 20, steps: [scrape]}
"""
FAST = ("--seconds", "5", "--workers", "1", "--quiet")


@pytest.fixture
def winter(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_text(WINTER, "utf-8")
    return file


@pytest.fixture
def planned(winter, capsys):
    assert main(["plan", str(winter), *FAST]) == 0
    capsys.readouterr()
    return winter.with_name("winter.plan.yaml")


def flat(text):
    return " ".join(text.split())


def run(*words, **how):
    return subprocess.run(
        [sys.executable, "-m", "offseason", *map(str, words)], capture_output=True, check=False, timeout=300, **how
    )


# help and the command line


@pytest.mark.slow
def test_a_terminal_that_has_no_sign_for_a_name_is_told_how_to_be_set(tmp_path):
    root = pathlib.Path(__file__).parents[1]
    scenario = (root / "scenarios" / "hobby.yaml").read_text("utf-8").replace("Odile", "Jörg")
    (tmp_path / "winter.yaml").write_text(scenario, "utf-8")
    env = {**os.environ, "PYTHONPATH": str(root), "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    offseason = [sys.executable, "-X", "utf8=0", "-m", "offseason"]
    for words in (["plan", "winter.yaml", "--effort", "1", "--quiet"], ["share", "winter.plan.yaml", "--to", "out"]):
        ended = subprocess.run([*offseason, *words], cwd=tmp_path, env=env, capture_output=True, text=True, check=False)
    assert ended.returncode == 70
    assert "set the variable LC_ALL to C.UTF-8" in ended.stderr
    assert not (tmp_path / "out" / "page.html").exists()


def test_help_lists_the_commands_and_the_exit_codes(capsys):
    assert main(["--help"]) == 0
    told = capsys.readouterr().out
    for word in ("start", "check", "weather", "plan", "show", "audit", "exit codes", "130"):
        assert word in told


def test_version_is_told(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"offseason {__version__}\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "COMMAND"),
        (["paint"], "paint"),
        (["plan"], "FILE"),
        (["plan", "x.yaml", "--seconds", "-3"], "'-3' is not a number of seconds above 0"),
        (["plan", "x.yaml", "--seconds", "inf"], "'inf' is not a number of seconds above 0"),
        (["plan", "x.yaml", "--workers", "0"], "'0' is not a whole number from 1 up"),
        (["show", "x.plan.yaml", "--week", "next"], "'next' is not a date; write year-month-day, as in 2026-10-17"),
        (["show", "x.plan.yaml", "--by", "colour"], "colour"),
        (["start", "--year", "soon"], "'soon' is not a year"),
        (["paln", "x.yaml"], "there is no command 'paln'; did you mean 'plan'?"),
        (["frob"], "the commands are: start, check, weather, plan, show, audit, record, replan, changes, "),
        (
            ["plan", "x.yaml", "--secnds", "4"],
            "offseason plan: there is no option --secnds here; did you mean --seconds?",
        ),
        (["--vrsion"], "did you mean --version?"),
        (["plan", "x.yaml", "y.yaml"], "'y.yaml' is one word too many here."),
        (["show", "x", "--by", "persn"], "--by: 'persn' cannot be chosen; did you mean 'person'?"),
        (["show", "x", "--who"], "one that begins with a dash is written --who=WORD."),
        (
            ["show", "x", "--from", "2026-10-09", "--until", "2026-10-01"],
            "--from 2026-10-09 lies after --until 2026-10-01",
        ),
        (["show", "x", "--week", "2026-10-09", "--until", "2026-10-11"], "--week already says which days to show"),
        (["show", "x", "--week", "2026-10-09", "--from", "2026-10-11"], "--week already says which days to show"),
    ],
)
def test_a_wrong_command_line_ends_with_2_and_says_what_is_wrong(words, said, capsys):
    assert main(words) == 2
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1


def test_help_says_how_a_name_with_a_dash_is_written(capsys):
    assert main(["show", "--help"]) == 0
    assert "--who=NAME" in flat(capsys.readouterr().out)


# start


def test_start_writes_a_scenario_that_check_takes(tmp_path, capsys):
    file = tmp_path / "mine.yaml"
    assert main(["start", str(file), "--year", "2027"]) == 0
    assert "2027-10" in file.read_text("utf-8")
    assert main(["check", str(file)]) == 0
    assert f"offseason plan {file}" in capsys.readouterr().out


def test_start_never_overwrites(winter, capsys):
    assert main(["start", str(winter)]) == 2
    assert "is there already and was left as it is" in capsys.readouterr().err
    assert winter.read_text("utf-8") == WINTER


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("no/mine.yaml", "there is no such folder as"),
        (f"{'long' * 100}.yaml", "the name is too long for a file; choose a shorter one."),
        ("mine\0.yaml", "this is not a name a file can have"),
    ],
)
def test_start_says_in_a_sentence_why_it_cannot_write(name, said, tmp_path, capsys):
    assert main(["start", str(tmp_path / name)]) == 2
    told = capsys.readouterr().err
    assert said in told
    assert "Errno" not in told


def test_start_in_a_folder_that_cannot_be_written_says_what_to_do(tmp_path, monkeypatch, capsys):
    opened = pathlib.Path.open

    def refused(path, mode="r", **how):
        if "x" in mode:
            raise PermissionError(errno.EACCES, "Permission denied")
        return opened(path, mode, **how)

    monkeypatch.setattr(pathlib.Path, "open", refused)
    assert main(["start", str(tmp_path / "mine.yaml")]) == 2
    told = capsys.readouterr().err
    assert f"you may not write into the folder {tmp_path}; name a file in another folder." in told


# check


def test_check_prints_work_against_help(winter, capsys):
    assert main(["check", str(winter)]) == 0
    assert "72.0 h of help for 2.0 h of work that must be done" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["check", "plan"])
def test_a_broken_file_ends_with_2_and_tells_all_mistakes_with_their_places(command, winter, capsys):
    winter.write_text(WINTER.replace("scrape]", "scrap]").replace("seats: 1", "seats: none"), "utf-8")
    assert main([command, str(winter)]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert re.search(rf"^{re.escape(str(winter))}:6:\d+: ", captured.err, re.MULTILINE)
    assert re.search(rf"^{re.escape(str(winter))}:10:\d+: .*scrape", captured.err, re.MULTILINE)


@pytest.mark.parametrize("command", ["check", "plan", "show", "audit"])
def test_a_file_that_is_not_there_ends_with_2(command, tmp_path, capsys):
    assert main([command, str(tmp_path / "nothing.yaml")]) == 2
    assert "nothing.yaml" in capsys.readouterr().err


# plan


def test_plan_writes_the_plan_beside_the_scenario_and_ends_with_the_summary(winter, capsys):
    assert main(["plan", str(winter), *FAST]) == 0
    told = capsys.readouterr().out
    assert "Left out       nothing: all the work fits" in told
    assert LAST_WORD in told
    assert f"The plan is in {winter.with_name('winter.plan.yaml')}; it keeps every promise." in told


@pytest.mark.parametrize(
    ("today", "says"),
    [
        (date(2026, 10, 1), ""),
        (date(2026, 10, 26), "over already. If nothing is done yet, write from: 2026-10-27 under season:"),
    ],
)
def test_who_begins_late_is_told_that_days_gone_by_are_planned_too(today, says, winter, capsys):
    with stopped_clock(today):
        assert main(["plan", str(winter), *FAST]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert ("over already" in told) == bool(says)
    assert says in told


def test_plan_goes_where_it_is_told_to(winter, tmp_path):
    assert main(["plan", str(winter), "--to", str(tmp_path / "other.yaml"), *FAST]) == 0
    assert (tmp_path / "other.yaml").exists()
    assert not (tmp_path / "winter.plan.yaml").exists()


def test_plan_never_overwrites_the_scenario(winter, capsys):
    assert main(["plan", str(winter), "--to", str(winter), *FAST]) == 2
    assert "is the scenario itself" in capsys.readouterr().err
    assert winter.read_text("utf-8") == WINTER


def test_a_folder_that_is_not_there_is_told_before_the_search(winter, monkeypatch, capsys):
    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: pytest.fail("searched"))
    assert main(["plan", str(winter), "--to", str(winter.parent / "no" / "plan.yaml")]) == 2
    assert "there is no such folder" in capsys.readouterr().err


@pytest.fixture
def no_search(monkeypatch):
    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: pytest.fail("searched"))


@pytest.mark.usefixtures("no_search")
def test_a_folder_that_cannot_be_written_is_told_before_the_search(winter, monkeypatch, capsys):
    def refused(*_, **__):
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(whole.os, "fsync", refused)
    assert main(["plan", str(winter)]) == 2
    told = capsys.readouterr().err
    assert f"the disk that holds the folder {winter.parent} can only be read; name a file in another folder" in told


def test_trying_the_folder_leaves_nothing_behind(planned):
    assert sorted(path.name for path in planned.parent.iterdir()) == ["winter.plan.yaml", "winter.yaml"]


@pytest.mark.usefixtures("no_search")
def test_a_pipe_is_no_place_for_a_plan_and_is_left_alone(winter, tmp_path, capsys):
    os.mkfifo(tmp_path / "pipe")
    assert main(["plan", str(winter), "--to", str(tmp_path / "pipe")]) == 2
    assert "is a device, a pipe or the like, not a plan file" in capsys.readouterr().err
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


@pytest.mark.usefixtures("no_search")
@pytest.mark.parametrize("text", [WINTER, "dear diary\n", "", "format: 1\n"])
def test_a_file_that_is_no_plan_is_never_replaced_by_one(text, winter, tmp_path, capsys):
    other = tmp_path / "other.yaml"
    other.write_text(text, "utf-8")
    assert main(["plan", str(winter), "--to", str(other)]) == 2
    assert "is a file that is not a plan of offseason; it was left as it is" in capsys.readouterr().err
    assert other.read_text("utf-8") == text


def test_the_plan_of_a_scenario_of_nearly_the_same_name_is_left_alone(planned, capsys):
    was = planned.read_bytes()
    other = planned.with_name("winter.yml")
    other.write_text(WINTER, "utf-8")
    assert main(["plan", str(other), *FAST]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "winter.plan.yaml is the plan of" in said
    assert said.endswith("winter.yaml; it was left as it is. Move it elsewhere, or name another file with --to.")
    assert planned.read_bytes() == was
    was = was.replace(b"pieces: 1,", b"pieces: one,", 1)
    planned.write_bytes(was)  # a slip of the pen
    assert main(["plan", str(other), *FAST]) == 2
    assert planned.read_bytes() == was
    planned.with_name("winter.yaml").unlink()  # it was only given another name
    assert main(["plan", str(other), *FAST]) == 0


def test_a_plan_that_is_planned_anew_is_kept_beside_the_new_one(planned, capsys):
    edited = planned.read_text("utf-8") + "# by hand\n"
    planned.write_text(edited, "utf-8")
    assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 0
    before = planned.with_name("winter.plan.yaml.before")
    assert f"The plan that was there before is kept in {before}." in capsys.readouterr().out
    assert before.read_text("utf-8") == edited
    assert "# by hand" not in planned.read_text("utf-8")


def test_nothing_else_is_overwritten_to_keep_the_old_plan(planned, monkeypatch, capsys):
    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: pytest.fail("searched"))
    planned.with_name("winter.plan.yaml.before").write_text("dear diary\n", "utf-8")
    assert main(["plan", str(planned.with_name("winter.yaml"))]) == 2
    assert "would be kept as" in capsys.readouterr().err
    assert planned.with_name("winter.plan.yaml.before").read_text("utf-8") == "dear diary\n"


def test_work_that_does_not_fit_ends_with_3_and_names_what_is_left(winter, capsys):
    winter.write_text(WINTER.replace("count: 20", "count: 2000"), "utf-8")
    assert main(["plan", str(winter), *FAST]) == 3
    told = flat(capsys.readouterr().err)
    assert re.search(r"scrape: [\d,]+ of 2,000 brood boxes", told)


def test_of_work_that_does_not_fit_the_rest_is_planned_and_the_plan_says_what_it_leaves(winter, capsys):
    winter.write_text(WINTER.replace("count: 20", "count: 2000"), "utf-8")
    main(["plan", str(winter), *FAST])
    assert "it leaves what is named below" in flat(capsys.readouterr().out)
    plan = read_plan(winter.with_name("winter.plan.yaml"))
    (left,) = [one for one in plan.left if one.step == "scrape"]
    scraped = sum(row.pieces for row in plan.rows if row.step == "scrape")
    assert 0 < scraped == 2000 - left.pieces


def test_a_shortfall_that_is_not_proven_is_not_called_impossible(winter, monkeypatch, capsys):
    schedule = Schedule((), (), left=(Left(0, 0, 20, Leaving.UNDONE),), seconds=5)
    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: schedule)
    assert main(["plan", str(winter), *FAST]) == 3
    assert "not proven" in capsys.readouterr().err


def test_a_plan_that_fails_its_audit_ends_with_4_and_leaves_the_good_plan_alone(planned, monkeypatch, capsys):
    before = planned.read_bytes()
    monkeypatch.setattr(offseason.commands.plan, "audit", lambda *_: (Broken("order", None, "boxes: painted wet"),))
    assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 4
    captured = capsys.readouterr()
    assert "boxes: painted wet" in captured.out
    assert "winter.plan.yaml was not touched" in captured.err
    assert planned.read_bytes() == before
    assert planned.with_name("winter.plan.rejected.yaml").exists()


def test_stopping_before_there_is_a_plan_ends_with_130_and_keeps_the_old_one(planned, monkeypatch, capsys):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    before = planned.read_bytes()
    monkeypatch.setattr(offseason.commands.plan, "solve", interrupted)
    assert main(["plan", str(planned.with_name("winter.yaml"))]) == 130
    assert "Stopped. No file was written or changed." in capsys.readouterr().err
    assert planned.read_bytes() == before


@pytest.mark.slow
def test_stopping_the_search_keeps_the_best_plan_so_far(tmp_path):
    winter = tmp_path / "winter.yaml"
    assert main(["start", str(winter), "--year", "2026"]) == 0
    command = [sys.executable, "-m", "offseason", "plan", str(winter), "--seconds", "300"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8") as search:
        for line in search.stderr:
            if " · best " in line:
                break
        search.send_signal(signal.SIGINT)
        told, _ = search.communicate(timeout=300)
    assert search.returncode == 0
    assert "The search was stopped; this is the best plan so far." in told
    assert main(["audit", str(tmp_path / "winter.plan.yaml")]) == 0


def interpreter_starts_s():
    """Seconds the interpreter itself takes to start here and now, which is not ours to guard."""
    began = time.monotonic()
    subprocess.run([sys.executable, "-c", "import runpy"], check=True)
    return time.monotonic() - began


def interrupted(seconds, presses, *words):
    """Exit code and all that was said by a program in which Ctrl-C is pressed so many seconds after it started."""
    after_s = seconds + 2 * interpreter_starts_s()
    command = [sys.executable, "-m", "offseason", *map(str, words)]
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # tests in the background have it ignored
    try:
        program = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8")
    finally:
        signal.signal(signal.SIGINT, before)
    with program:
        time.sleep(after_s)
        for _ in range(presses):
            program.send_signal(signal.SIGINT)
            time.sleep(0.03)
        told, _ = program.communicate(timeout=300)
    return program.returncode, told


@pytest.mark.slow
@pytest.mark.parametrize("presses", [1, 15])
@pytest.mark.parametrize("seconds", [0.2, 0.5, 1, 2])
def test_ctrl_c_at_any_moment_ends_in_a_sentence(seconds, presses, tmp_path):
    winter = tmp_path / "winter.yaml"
    assert main(["start", str(winter), "--year", "2026"]) == 0
    code, told = interrupted(seconds, presses, "plan", winter, "--seconds", "6")
    assert "Traceback" not in told
    there = winter.with_name("winter.plan.yaml").exists()
    assert (code, "it keeps every promise." in told, "Stopped. No file" in told) == (
        (0, True, False) if there else (130, False, True)
    )


def test_ctrl_c_while_the_program_is_still_loading_is_heard_after_it():
    with CtrlC(for_good=False) as ctrl_c:
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            ctrl_c.listen()


def test_an_impatient_second_press_is_the_same_wish_as_the_first():
    with CtrlC(for_good=False) as ctrl_c:
        ctrl_c.listen()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)


def test_ctrl_c_while_the_plan_is_saved_does_not_lose_it(winter, monkeypatch):
    save = offseason.commands.plan.write_plan

    def pressed(*words):
        signal.raise_signal(signal.SIGINT)
        save(*words)

    monkeypatch.setattr(offseason.commands.plan, "write_plan", pressed)
    assert main(["plan", str(winter), *FAST]) == 0
    assert winter.with_name("winter.plan.yaml").exists()
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.slow
def test_progress_goes_to_the_errors_and_the_summary_alone_to_the_output(winter):
    done = run("plan", winter, "--seconds", "5")
    assert done.returncode == 0
    assert b" s \xc2\xb7 " in done.stderr
    assert b" s \xc2\xb7 " not in done.stdout


@pytest.mark.slow
def test_on_a_terminal_progress_is_one_line_that_is_rewritten(winter):
    ours, theirs = pty.openpty()
    try:
        done = subprocess.run(
            [sys.executable, "-m", "offseason", "plan", str(winter), "--seconds", "5"],
            stdout=subprocess.DEVNULL,
            stderr=theirs,
            check=False,
            timeout=300,
        )
        shown = os.read(ours, 65_536)
    finally:
        os.close(theirs)
        os.close(ours)
    assert done.returncode == 0
    assert shown.startswith(b"\r")
    assert shown.count(b"\n") == 1


# show


def test_show_prints_a_week_from_monday_to_sunday(planned, capsys):
    assert main(["show", str(planned), "--week", "2026-10-07"]) == 0
    told = capsys.readouterr().out
    assert "scrape" in told
    assert "[lead, dust]" in told
    assert main(["show", str(planned), "--week", "2026-10-28"]) == 0
    assert "No work is planned from Mon 26 Oct 2026 until Sun 1 Nov 2026." in capsys.readouterr().out


def test_show_for_an_unknown_person_offers_the_nearest_name(planned, capsys):
    assert main(["show", str(planned), "--who", "Inez"]) == 2
    assert "did you mean 'Ines'?" in capsys.readouterr().err


def test_show_for_a_person_of_the_crew_without_work_says_so(planned, capsys):
    assert main(["show", str(planned), "--who", "Noël, the Younger", "--until", "2026-10-06"]) == 0
    assert "No work is planned" in capsys.readouterr().out


def test_show_says_when_the_scenario_has_changed_since(planned, capsys):
    planned.with_name("winter.yaml").write_text(WINTER + "# changed\n", "utf-8")
    assert main(["show", str(planned)]) == 0
    assert "has changed since this plan was made" in capsys.readouterr().out


def test_show_without_the_scenario_still_shows_and_says_that_cautions_are_missing(planned, capsys):
    planned.with_name("winter.yaml").unlink()
    assert main(["show", str(planned)]) == 0
    told = capsys.readouterr().out
    assert "no cautions are shown beside the work" in told
    assert "scrape" in told


def test_a_scenario_given_to_show_ends_with_2_and_no_traceback(winter, capsys):
    assert main(["show", str(winter)]) == 2
    assert "Traceback" not in capsys.readouterr().err


# audit


def test_audit_of_a_good_plan_ends_with_0(planned, capsys):
    assert main(["audit", str(planned)]) == 0
    assert "keeps every promise" in capsys.readouterr().out


def test_audit_of_a_plan_spoilt_by_hand_ends_with_4_and_names_the_row(planned, capsys):
    planned.write_text(planned.read_text("utf-8").replace("Ines", "Tomas"), "utf-8")
    assert main(["audit", str(planned)]) == 4
    assert re.search(r"line \d+.*Tomas", flat(capsys.readouterr().out))


def test_audit_judges_by_the_scenario_as_it_is_now_and_says_so(planned, capsys):
    changed = WINTER.replace("count: 20", "count: 30")
    planned.with_name("winter.yaml").write_text(changed, "utf-8")
    assert main(["audit", str(planned)]) == 4
    told = flat(capsys.readouterr().out)
    assert "has changed since this plan was made" in told
    assert "left undone" in told


def test_audit_takes_a_scenario_from_elsewhere(planned, tmp_path, capsys):
    (tmp_path / "old").mkdir()
    moved = planned.with_name("winter.yaml").rename(tmp_path / "old" / "winter.yaml")
    assert main(["audit", str(planned)]) == 2
    assert "name it with --scenario" in capsys.readouterr().err
    assert main(["audit", str(planned), "--scenario", str(moved)]) == 0
    assert "keeps every promise" in capsys.readouterr().out


# nothing gets out


@pytest.mark.parametrize("name", ["..", ".", "/", ""])
@pytest.mark.parametrize("command", ["start", "check", "plan", "show", "audit"])
def test_a_name_that_is_no_file_ends_with_2(command, name, capsys):
    assert main([command, name]) == 2
    assert "fault" not in capsys.readouterr().err


def test_a_fault_of_the_program_ends_with_70_in_one_sentence(winter, monkeypatch, capsys):
    monkeypatch.setattr(offseason.commands, "build_workload", lambda *_: 1 // 0)
    monkeypatch.delenv("OFFSEASON_DEBUG", raising=False)
    assert main(["check", str(winter)]) == 70
    told = capsys.readouterr().err
    assert told.startswith("This is a fault of offseason, not of your file (ZeroDivisionError)")
    assert "Traceback" not in told


def test_a_fault_shows_where_it_happened_when_asked_to(winter, monkeypatch, capsys):
    monkeypatch.setattr(offseason.commands, "build_workload", lambda *_: 1 // 0)
    monkeypatch.setenv("OFFSEASON_DEBUG", "1")
    assert main(["check", str(winter)]) == 70
    assert "Traceback" in capsys.readouterr().err


def test_a_disk_that_cannot_be_written_ends_with_2(winter, monkeypatch, capsys):
    def full(*_):
        raise OSError(28, "No space left on device", str(winter))

    monkeypatch.setattr(offseason.commands.plan, "put_plan", full)
    assert main(["plan", str(winter), *FAST]) == 2
    said = capsys.readouterr().err
    assert "winter.yaml cannot be written: there is no room left for it; make room" in said


@pytest.mark.parametrize("words", [["--help"], ["check"]])
def test_a_reader_that_has_seen_enough_is_no_error(words, winter):
    words = [*words, str(winter)] if words == ["check"] else words
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "offseason", *words],
            stdout=writing,
            stderr=subprocess.PIPE,
            check=False,
            timeout=300,
        )
    finally:
        os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.slow
def test_a_terminal_without_accents_shows_question_marks(winter):
    done = run("check", winter, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    winter.write_text(WINTER.replace("Quillet", "Quillét"), "utf-8")
    done = run("check", winter, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert (done.returncode, b"Winter at Quill?t Yard" in done.stdout) == (0, True)


@pytest.mark.parametrize("words", [["--help"], ["check"], ["plan"]])
def test_output_that_does_not_fit_on_the_disk_ends_with_2_and_a_sentence(words, winter):
    words = words if words == ["--help"] else [*words, str(winter)]
    with pathlib.Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "offseason", *words, *(FAST if words[0] == "plan" else ())],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            timeout=300,
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"The output could not be written: No space left on device.")
    assert (b"The plan is in" in done.stderr) == (words[0] == "plan")
    assert words[0] == "plan" or done.stderr.count(b"\n") == 1
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    "closed", ["2>&-", *(pytest.param(c, marks=pytest.mark.slow) for c in ("<&- >&- 2>&-", "2>/dev/full"))]
)
def test_errors_that_nobody_hears_change_no_exit_code(closed, winter):
    program = f'"{sys.executable}" -m offseason'
    for words, code in ((f'plan "{winter}" --seconds 5', 0), (f'check "{winter}x"', 2)):
        done = subprocess.run(
            ["sh", "-c", f"{program} {words} {closed}"], capture_output=True, check=False, timeout=300
        )
        assert done.returncode == (2 if ">&- 2" in closed else code)
        assert done.stderr == b""


def test_where_no_plan_at_all_is_found_the_old_one_is_left_alone_and_it_is_no_fault(planned, monkeypatch, capsys):
    before = planned.read_bytes()
    schedule = Schedule((), (), left=(Left(0, 0, 20, Leaving.UNDONE),), seconds=5)
    monkeypatch.setattr(offseason.commands.plan, "solve", lambda *_, **__: schedule)
    monkeypatch.setattr(offseason.commands.plan, "audit", lambda *_: (Broken("order", None, "boxes: painted wet"),))
    assert main(["plan", str(planned.with_name("winter.yaml")), *FAST]) == 3
    told = flat(capsys.readouterr().err)
    assert "scrape: 20 of 20 brood boxes" in told
    assert "winter.plan.yaml was not touched" in told
    assert "fault" not in told
    assert planned.read_bytes() == before
    assert not planned.with_name("winter.plan.rejected.yaml").exists()
