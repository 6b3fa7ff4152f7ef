"""Weather files made for tests, and how they are read."""

from pathlib import Path

import pytest

from offseason.weather.read import read_weather_file
from offseason.weather.records import WeatherFileError

HOURS = "time [UTC],temperature [°C]"
DAYS = "day,lowest [°C],highest [°C]"


def written(folder, *lines, name="shed.csv", encoding="utf-8"):
    """A file of these lines; lines may be several in one text."""
    path = Path(folder) / name
    path.write_bytes(("\n".join(lines) + "\n").encode(encoding))
    return path


def hours(folder, *rows, header=HOURS, timezone=None):
    """The reading of an hourly file with these rows below the header."""
    return read_weather_file(written(folder, header, *rows), timezone=timezone)


def refusal(path, **named):
    """The sentence with which the file is refused."""
    with pytest.raises(WeatherFileError) as refused:
        read_weather_file(path, **named)
    text = str(refused.value)
    assert text.startswith(path.name)
    assert "\n" not in text
    return text


def notes(reading):
    """All notes as one text, each with its row."""
    return "\n".join(f"row {note.row}: {note.text}" if note.row else note.text for note in reading.notes)
