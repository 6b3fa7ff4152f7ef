"""From a file to its lines of text, or a sentence why there are none."""

from __future__ import annotations

import codecs
import stat
from pathlib import Path

from offseason.weather.notes import fault

MAX_BYTES = 100_000_000  # 200 years of hours take about as much

_PACKED = {b"\x1f\x8b": "packed (gzip)", b"PK\x03\x04": "a workbook or a packed file", b"BZh": "packed (bzip2)"}


def lines_of(path: Path) -> list[str]:
    """The lines of a text file, without their ends; line n of the file is entry n - 1.

    Reads UTF-8 with or without a mark, UTF-16 with one, else Windows-1252. Raises WeatherFileError.
    """
    data = _bytes_of(path)
    text = _text_of(data, name_of(path))
    if not text.strip():
        raise fault(name_of(path), None, "the file is empty; it needs a line of column names and rows below it")
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def name_of(path: Path) -> str:
    """How the file is called in what is said of it; ``.`` and ``/`` have no name but themselves."""
    return path.name or str(path)


def _bytes_of(path: Path) -> bytes:
    name = name_of(path)
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise fault(name, None, "this is a folder; name the weather file itself")
        if not stat.S_ISREG(mode):
            raise fault(name, None, "this is not a file; name the weather file itself")
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise fault(name, None, "there is no file of this name") from None
    except PermissionError:
        raise fault(name, None, "you are not allowed to read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not one a file can have"
        raise fault(name, None, f"the file cannot be read: {reason}") from None
    if len(data) > MAX_BYTES:
        raise fault(name, None, f"the file is larger than {MAX_BYTES // 1_000_000} MB; keep one place's rows only")
    return data


def _text_of(data: bytes, name: str) -> str:
    for start, what in _PACKED.items():
        if data.startswith(start):
            raise fault(name, None, f"this is {what}, not text; unpack it, or save it as CSV, and name that file")
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if b"\0" in data and not wide:
        raise fault(name, None, "this is not a text file; save the records as CSV (text) and name that file")
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise fault(name, None, "its letters cannot be read; save the file as CSV in UTF-8 and try again")
