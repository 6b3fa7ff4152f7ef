"""What holds for all tests: Ctrl-C is heard, and no test fails because the machine is busy with something else."""

from __future__ import annotations

import signal

from hypothesis import settings

# Whoever started the tests may have Ctrl-C ignored, as shells do for work in the background.
signal.signal(signal.SIGINT, signal.default_int_handler)

# One example in a hundred is slow on a busy machine, which says nothing about the trade.
settings.register_profile("offseason", deadline=None)
settings.load_profile("offseason")
