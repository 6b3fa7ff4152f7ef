"""What holds for all tests: Ctrl-C is heard, a busy machine fails none, and branches are counted in the fast ones."""

from __future__ import annotations

import signal

import pytest
from hypothesis import settings

# Whoever started the tests may have Ctrl-C ignored, as shells do for work in the background.
signal.signal(signal.SIGINT, signal.default_int_handler)

# One example in a hundred is slow on a busy machine, which says nothing about the trade.
settings.register_profile("offseason", deadline=None)
settings.load_profile("offseason")


def pytest_itemcollected(item: pytest.Item) -> None:
    """What is slow is slower by half where its branches are counted, and has to be done within its time."""
    if item.get_closest_marker("slow"):
        item.add_marker("no_cover")
