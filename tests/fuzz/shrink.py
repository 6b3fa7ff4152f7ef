"""One input by itself: whether its reader is lost on it, and the same input as small as it can be made in a minute."""

from __future__ import annotations

import argparse
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from types import FrameType

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from readers import READERS, refusal  # noqa: E402  found only once their folder is on the path

# As in fuzz.py, which this file does not need for anything else. Of processor: the machine may be busy.
MOST_SECONDS_EACH = 5
MOST_BYTES = 1_024 * 1_048_576
_MOST_SECONDS = 60


class TooSlowError(Exception):
    """The reader took longer than it may."""


def place_of(error: BaseException) -> str:
    """What kind of error it is, and in which line of ours it arose."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if f"{HERE.parents[1] / 'offseason'}" in frame.filename]
    where = f"{ours[-1].filename}:{ours[-1].lineno}" if ours and not isinstance(error, TooSlowError) else ""
    return f"{type(error).__name__} {where}"


def loss_of(reader: str, data: bytes, folder: Path) -> BaseException | None:
    """Why this input is a loss: an error, or too much time or memory; None where it is none."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError(f"more than {MOST_SECONDS_EACH} s")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS_EACH)
    try:
        refusal(reader, data, folder)
    except (Exception, TooSlowError) as error:  # noqa: BLE001  whatever it is
        return error
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
    return None


def shrunk(data: bytes, is_lost: Callable[[bytes], bool], until: float) -> bytes:
    """The input less all parts that it is lost without, larger parts first; ``until``: when to be content."""
    size = len(data) // 2
    while size:
        at = 0
        while at < len(data) and time.monotonic() < until:
            less = data[:at] + data[at + size :]
            if is_lost(less):
                data = less
            else:
                at += size
        size //= 2
    return data


def main() -> int:
    parser = argparse.ArgumentParser(
        description="Try one input; where it is a loss, write it back made small (exit 1)."
    )
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("file", type=Path)
    parser.add_argument("--show", action="store_true", help="leave the file as it is, and show what comes of it")
    given = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    data = given.file.read_bytes()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        loss = loss_of(given.reader, data, folder)
        if given.show:
            told = "".join(traceback.format_exception(loss)) if loss else refusal(given.reader, data, folder)
            print(told or "It is read.")
        elif loss:
            place = place_of(loss)

            def is_lost(less: bytes) -> bool:
                found = loss_of(given.reader, less, folder)
                return found is not None and place_of(found) == place

            given.file.write_bytes(shrunk(data, is_lost, time.monotonic() + _MOST_SECONDS))
    return 1 if loss else 0


if __name__ == "__main__":
    sys.exit(main())
