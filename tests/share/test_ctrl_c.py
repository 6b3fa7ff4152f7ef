"""Work in the background, where Ctrl-C is ignored already, is left so."""

from __future__ import annotations

import signal
import threading

import pytest

from offseason.share.ctrl_c import CtrlC


@pytest.mark.parametrize("for_good", [True, False])
def test_where_ctrl_c_is_ignored_already_nothing_is_changed(for_good):
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with CtrlC(for_good=for_good) as ctrl_c:
            ctrl_c.listen()
            signal.raise_signal(signal.SIGINT)
            ctrl_c.ignore()
        assert signal.getsignal(signal.SIGINT) == signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)
    assert not ctrl_c.heard


def test_outside_of_the_main_thread_it_is_left_to_the_main_thread():
    before, found = signal.getsignal(signal.SIGINT), []

    def work() -> None:
        with CtrlC(for_good=True) as ctrl_c:
            ctrl_c.ignore()
            found.append(signal.getsignal(signal.SIGINT))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert found == [before]
    assert signal.getsignal(signal.SIGINT) == before
