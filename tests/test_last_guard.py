"""What is outside of a command: no memory, no terminal, libraries that are not whole. Each ends in a sentence."""

from __future__ import annotations

import importlib
import os
import runpy
import signal
import sys
import threading

import pytest

import offseason.commands
from offseason import __version__
from offseason.cli import main


@pytest.fixture
def as_a_program(monkeypatch):
    """As when it is started by itself: the words are those of the terminal, and what ends a program ends the test."""
    monkeypatch.setattr(sys, "argv", ["offseason", "--version"])
    monkeypatch.setattr(os, "_exit", sys.exit)
    before = signal.getsignal(signal.SIGINT)
    yield
    signal.signal(signal.SIGINT, before)


def raising(error: BaseException):
    def run(*_):
        raise error

    return run


@pytest.mark.usefixtures("as_a_program")
def test_the_program_is_started_by_python_too(capsys):
    with pytest.raises(SystemExit) as ended:
        runpy.run_module("offseason", run_name="__main__")
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"offseason {__version__}\n"


def test_to_load_the_program_does_not_start_it(capsys):
    importlib.reload(importlib.import_module("offseason.__main__"))
    assert capsys.readouterr() == ("", "")


@pytest.mark.usefixtures("as_a_program")
def test_when_all_is_said_a_search_that_has_not_heard_it_yet_is_not_waited_for(capsys):
    over = threading.Event()
    search = threading.Thread(target=over.wait)
    search.start()
    try:
        with pytest.raises(SystemExit) as ended:
            main()
        assert search.is_alive()
    finally:
        over.set()
        search.join()
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"offseason {__version__}\n"


def test_ctrl_c_of_which_a_library_made_another_error_is_still_ctrl_c(monkeypatch, capsys):
    def interrupted(_, ctrl_c):
        ctrl_c.listen()
        try:
            signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            raise RuntimeError("the callback failed") from None

    monkeypatch.delenv("OFFSEASON_DEBUG", raising=False)
    monkeypatch.setattr(offseason.commands, "run", interrupted)
    assert main(["check", "winter.yaml"]) == 130
    assert capsys.readouterr().err == "Stopped. No file was written or changed.\n"


@pytest.mark.parametrize(
    "error",
    [
        MemoryError(),
        SystemError("error return without exception set"),
        ImportError("libortools.so.9: failed to map segment from shared object"),
    ],
    ids=["no memory", "no memory to load", "no memory for a library"],
)
def test_without_memory_it_is_said_what_needs_less(error, monkeypatch, capsys):
    monkeypatch.setattr(offseason.commands, "run", raising(error))
    assert main(["plan", "winter.yaml"]) == 70
    told = capsys.readouterr().err
    assert told.startswith("There is not enough memory for this on the computer.")
    assert "--workers 1" in told


def test_a_name_that_the_terminal_has_no_signs_for_is_no_fault_and_it_is_said_how_to_set_it(monkeypatch, capsys):
    error = UnicodeEncodeError("ascii", "Jörg", 1, 2, "ordinal not in range")
    monkeypatch.setattr(offseason.commands, "run", raising(error))
    assert main(["share", "winter.plan.yaml"]) == 70
    told = capsys.readouterr().err
    assert "set the variable LC_ALL to C.UTF-8" in told
    assert "fault" not in told


def test_without_anywhere_to_complain_the_work_is_done_all_the_same(monkeypatch, capsys):
    with monkeypatch.context() as closed:
        closed.setattr(sys, "stderr", None)
        assert main(["--version"]) == 0
        sys.stderr.close()
    assert capsys.readouterr().out == f"offseason {__version__}\n"


def test_where_nobody_can_be_shown_what_was_done_it_is_complained_of_and_done_all_the_same(
    tmp_path, monkeypatch, capsys
):
    winter = tmp_path / "winter.yaml"
    with monkeypatch.context() as closed:
        closed.setattr(sys, "stdout", None)
        assert main(["start", str(winter)]) == 2
    assert capsys.readouterr().err.startswith("The output could not be written: it is closed.")
    assert main(["check", str(winter)]) == 0
