"""The command line: runs what is asked, and prints it; nothing heavy is loaded before Ctrl-C is taken care of."""

from __future__ import annotations

import os
import sys
import threading

from offseason.share.ctrl_c import CtrlC
from offseason.share.exit_codes import DONE, EXIT_CODES, FAULT, FILE_WRONG, STOPPED

TYPE_CHECKING = False  # as in typing, which takes a while to load
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

    from offseason.share.command_line import Parser

_NO_MEMORY = "failed to map segment"  # so the loader of Linux has it where there is no memory for a library
_TOO_LITTLE_MEMORY = (
    "There is not enough memory for this on the computer. Close other programs and run the command again; where a "
    "command has --workers, it needs less with --workers 1."
)
NOTHING_WRITTEN = "Stopped. No file was written or changed."

__all__ = ["EXIT_CODES", "main", "parser"]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no exception gets out.

    Without ``argv`` it is the whole program: it takes the words of the command line, and Ctrl-C stays ignored when
    all is said, so that the interpreter ends in peace.
    """
    with CtrlC(for_good=argv is None) as ctrl_c:
        try:
            code, text, kept, complaint = _run(argv, ctrl_c)
        except KeyboardInterrupt:
            code, text, kept, complaint = STOPPED, "", "", NOTHING_WRITTEN
        except Exception as error:  # noqa: BLE001  the last guard: a keeper must never meet a traceback
            if os.environ.get("OFFSEASON_DEBUG") == "1":
                import traceback  # noqa: PLC0415  rarely needed

                traceback.print_exc()
            code, text, kept, complaint = FAULT, "", "", _fault(error)
            if ctrl_c.heard:  # some libraries make another error of it
                code, complaint = STOPPED, NOTHING_WRITTEN
        ctrl_c.ignore()
        code = _tell(code, text, kept, complaint)
    if argv is None and threading.active_count() > 1:
        os._exit(code)  # all is said: a search that has not heard yet that it is over is not waited for
    return code


def _fault(error: Exception) -> str:
    """What is said of an error that nobody expected, and what to do."""
    match error:
        case MemoryError() | SystemError():  # the second is how Python fails where it has none left to load something
            return _TOO_LITTLE_MEMORY
        case ImportError() if _NO_MEMORY in str(error):
            return _TOO_LITTLE_MEMORY
        case ImportError(name=str() as name) if name.partition(".")[0] != "offseason":
            told = f"offseason is not whole here: '{name}', which it needs, is not there or cannot be used ({error})."
            return f"{told} Put it in again, in the folder of offseason: {sys.executable} -m pip install ."
        case UnicodeEncodeError():
            told = "A name cannot be written in the signs that this terminal is set to"
            return f"{told}; set the variable LC_ALL to C.UTF-8 and run the command again. No plan was changed."
    told = f"This is a fault of offseason, not of your file ({type(error).__name__}); no plan was changed."
    return f"{told} With OFFSEASON_DEBUG=1 it shows where; please report that."


def parser() -> Parser:
    """The commands and their options."""
    from offseason.commands import parser as of_commands  # noqa: PLC0415  heavy

    return of_commands()


def _run(argv: Sequence[str] | None, ctrl_c: CtrlC) -> tuple[int, str, str, str]:
    _occupy()
    from offseason.commands import run  # noqa: PLC0415  heavy: a third of a second in which Ctrl-C may be pressed

    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that has no sign for °C shows a question mark instead
    outcome = run(argv, ctrl_c)
    return outcome.code, outcome.text, outcome.kept, outcome.complaint


def _occupy() -> None:
    """Where output or errors were closed by whoever started us, nothing we open may be taken for them."""
    number = 0
    while number <= 2:
        number = os.open(os.devnull, os.O_RDWR)
    os.close(number)
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115  kept as long as the program runs


def _tell(code: int, text: str, kept: str, complaint: str) -> int:
    lost = _print("\n\n".join(part for part in (text, kept) if part), sys.stdout)
    if lost is not None:
        complaint = f"{complaint} The output could not be written: {lost}. {kept}".strip()
        code = FILE_WRONG if code == DONE else code
    _print(complaint, sys.stderr)
    return code


def _print(text: str, stream: TextIO | None) -> str | None:
    """Prints; why it could not, or None. Whoever reads along (head, less) and has seen enough is no reason."""
    if stream is None:
        return "it is closed" if text else None
    try:
        print(text, end="\n" if text else "", file=stream, flush=True)
    except OSError as error:
        from contextlib import suppress  # noqa: PLC0415  rarely needed

        with suppress(OSError, ValueError):  # Python must not try again at the end
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        return None if isinstance(error, BrokenPipeError) else error.strerror or str(error)
    except ValueError:
        return "it is closed"
    return None
