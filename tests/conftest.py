"""Ctrl-C is heard in tests, also where whoever started them had it ignored, as shells do in the background."""

from __future__ import annotations

import signal

signal.signal(signal.SIGINT, signal.default_int_handler)
