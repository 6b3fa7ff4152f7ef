"""What holds for all tests: Ctrl-C is heard, a busy machine fails none, and branches are counted in the fast ones."""

from __future__ import annotations

import signal
import sys
from collections.abc import Generator

import pytest
from hypothesis import settings

# Whoever started the tests may have Ctrl-C ignored, as shells do for work in the background.
signal.signal(signal.SIGINT, signal.default_int_handler)

# One example in a hundred is slow on a busy machine, which says nothing about the trade.
settings.register_profile("offseason", deadline=None)
settings.load_profile("offseason")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """What is slow is slower by half where its branches are counted, and has to be done within its time."""
    counting = sys.gettrace() if item.get_closest_marker("slow") else None
    if counting is None:
        return (yield)
    sys.settrace(None)  # pytest-cov's own mark for this does nothing in the processes of pytest-xdist
    try:
        return (yield)
    finally:
        sys.settrace(counting)
