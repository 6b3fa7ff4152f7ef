"""Writers keep out of each other's way on Windows too: its lock calls, against a stand-in that keeps its rules.

The rules are those of the documentation of the C runtime (published): a lock is a range of bytes from where the handle
stands; a range that is held cannot be locked again, EACCES tells so; only the very range can be unlocked; all is to be
unlocked before the file is closed.
"""

from __future__ import annotations

import errno
import importlib.util
import os
import sys
from types import SimpleNamespace

import pytest

from offseason.plan.progress import append as appending
from offseason.plan.progress import locking
from offseason.plan.progress.append import CannotAppendError, append, held
from offseason.plan.progress.log import read_log
from tests.plan.progress.yards import entry

LK_UNLCK, LK_NBLCK = 0, 2


class Runtime:
    """Lock calls by the rules; ``busy``: how often another program has the range first."""

    LK_UNLCK, LK_NBLCK = LK_UNLCK, LK_NBLCK

    def __init__(self) -> None:
        self.busy = 0
        self.broken = 0
        self.told: list[str] = []
        self.ranges: list[tuple[int, int]] = []
        self.held: dict[tuple[int, int, int, int], int] = {}

    def locking(self, handle: int, mode: int, size: int) -> None:
        at = os.lseek(handle, 0, os.SEEK_CUR)
        self.ranges.append((at, size))
        file = os.fstat(handle)
        of_all = (file.st_dev, file.st_ino, at, size)
        if mode == LK_UNLCK:
            self.told.append("unlock")
            if self.held.get(of_all) != handle:
                raise OSError(errno.EACCES, "not locked")
            del self.held[of_all]
            return
        assert mode == LK_NBLCK
        if self.broken:
            self.told.append("refused")
            raise OSError(self.broken, "cannot be")
        if self.busy or of_all in self.held:
            self.busy = max(0, self.busy - 1)
            self.told.append("busy")
            raise OSError(errno.EACCES, "locked by another")
        self.told.append("lock")
        self.held[of_all] = handle


@pytest.fixture
def runtime(monkeypatch):
    """The log is written with the lock calls of Windows."""
    fake = Runtime()
    spec = importlib.util.spec_from_file_location("locking_of_windows", locking.__file__)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    with monkeypatch.context() as patch:
        patch.setattr(sys, "platform", "win32")
        patch.setitem(sys.modules, "msvcrt", fake)
        spec.loader.exec_module(module)
    # the file is looked at before it is closed, so that a lock left behind is seen
    closing = SimpleNamespace(**{**vars(os), "close": lambda handle: closed(fake, handle)})
    monkeypatch.setattr(module, "os", closing)
    monkeypatch.setattr("offseason.plan.progress.locking.try_lock", module.try_lock)
    monkeypatch.setattr(appending, "let_go", module.let_go)
    return fake


def closed(fake: Runtime, handle: int) -> None:
    assert handle not in fake.held.values(), "closed while it was locked"
    fake.told.append("close")
    os.close(handle)


def test_the_range_that_was_locked_is_the_one_unlocked_and_lies_behind_all_rows(tmp_path, runtime):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    append(path, [entry(20, "freeze", "super combs")])
    assert runtime.told == ["lock", "unlock", "close"] * 2
    assert len(set(runtime.ranges)) == 1
    (at, size) = runtime.ranges[0]
    assert size == 1
    assert at > 1000 * path.stat().st_size
    assert [e.pieces for e in read_log(path).entries] == [80, 20]


def test_while_another_writes_it_is_tried_again_and_then_written(tmp_path, runtime):
    path = tmp_path / "winter.log.yaml"
    runtime.busy = 3
    append(path, [entry(80, "freeze", "super combs")])
    assert runtime.told == ["busy", "busy", "busy", "lock", "unlock", "close"]
    assert len(read_log(path).entries) == 1


def test_a_second_handle_waits_until_the_first_has_let_go(tmp_path, runtime, monkeypatch):
    monkeypatch.setattr("offseason.plan.progress.locking.LONGEST_WAIT_S", 0.1)
    path = tmp_path / "winter.log.yaml"
    with held(path) as log:
        with pytest.raises(CannotAppendError, match="another program has been writing to it"):
            append(path, [entry(80, "freeze", "super combs")])
        log.append([entry(20, "freeze", "super combs")])
    assert not runtime.held
    assert [e.pieces for e in read_log(path).entries] == [20]


def test_a_file_that_can_never_be_locked_is_told_at_once_and_not_waited_for(tmp_path, runtime):
    path = tmp_path / "winter.log.yaml"
    runtime.broken = errno.EINVAL
    with pytest.raises(CannotAppendError, match=r"cannot be written: .*; put that right, then run the command again"):
        append(path, [entry(80, "freeze", "super combs")])
    assert runtime.told == ["refused", "unlock", "close"]


def test_it_is_let_go_where_writing_fails(tmp_path, runtime, monkeypatch):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs")])
    before = path.read_bytes()
    runtime.told.clear()

    def full(_: object) -> None:
        raise OSError(errno.ENOSPC, "no room")

    with monkeypatch.context() as patch:
        patch.setattr(appending.HeldLog, "_write", lambda _, data: full(data))
        with pytest.raises(CannotAppendError, match="there is no room left"):
            append(path, [entry(20, "freeze", "super combs")])
    assert runtime.told == ["lock", "unlock", "close"]
    assert path.read_bytes() == before
    with pytest.raises(ZeroDivisionError), held(path):
        raise ZeroDivisionError
    assert not runtime.held


def test_a_file_put_in_its_place_while_waiting_is_let_go_before_it_is_closed(tmp_path, runtime, monkeypatch):
    path = tmp_path / "winter.log.yaml"
    append(path, [entry(80, "freeze", "super combs", id="old")])
    runtime.told.clear()
    other = tmp_path / "edited"
    other.write_bytes(path.read_bytes())
    in_place = appending.HeldLog._is_in_place

    def put_another_there(log: appending.HeldLog) -> bool:
        if other.exists():
            other.replace(path)
        return in_place(log)

    monkeypatch.setattr(appending.HeldLog, "_is_in_place", put_another_there)
    append(path, [entry(20, "freeze", "super combs", id="new")])
    assert runtime.told == ["lock", "unlock", "close", "lock", "unlock", "close"]
    assert {e.id for e in read_log(path).entries} == {"old", "new"}
