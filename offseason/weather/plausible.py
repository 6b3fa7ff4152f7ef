"""Values no place has: a few are slips and become unknown, many mean that the column is in another unit."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from offseason.scenario.nearest import listed
from offseason.trade.limits import HIGHEST_CELSIUS, LOWEST_CELSIUS
from offseason.weather.likely_units import likely_units
from offseason.weather.marks import marks_of, same_number, without
from offseason.weather.notes import counted, fault, grouped, too_many
from offseason.weather.records import Floats, Note
from offseason.weather.table import Column, Flags, Table

# Ours, well outside what weather stations have recorded where bees are kept.
_BOUNDS = {
    "humidity": (0.0, 100.0, "%"),
    "wood moisture": (0.0, 200.0, "%"),
    "wind": (0.0, 60.0, "m/s"),
}
_RAIN_AN_HOUR_MM, _RAIN_A_DAY_MM = 200.0, 1000.0
# Sensors in saturated air read a little over 100 %; that is damp air, not a slip (ours).
_SATURATED_PERCENT = 105.0
_DEW_POINT_ROUNDING_K = 1.0
_ENOUGH_VALUES = 20
_HEAT_CELSIUS = 50.0
_WIND_ON_AVERAGE_M_S = 12.0


def plausible(table: Table, file: str, notes: list[Note]) -> dict[str, Floats]:
    """The columns in °C, mm, m/s and per cent, without values no place has; what was set aside goes to ``notes``.

    Raises WeatherFileError where so many values of a column cannot be that its unit must be another.
    """
    values = {name: _possible(column, table.hourly, file, notes) for name, column in table.columns.items()}
    if "dew point" in values:
        over = values["dew point"] > values["temperature"] + _DEW_POINT_ROUNDING_K
        text = "the dew point is above the temperature, which cannot be"
        _refuse_if_many(
            over,
            values["dew point"],
            table.columns["dew point"],
            file,
            text,
            "one of the two is in another unit than it says",
        )
        _say(over, table.columns["dew point"], f"{text}; the dew point is taken as unknown", notes)
        values["dew point"][over] = np.nan
    if "lowest" in values:
        over = values["lowest"] > values["highest"]
        text = "the lowest temperature of the day is above the highest"
        ask = "are the two columns the wrong way round, or is a unit wrong?"
        _refuse_if_many(over, values["lowest"], table.columns["lowest"], file, text, ask)
        _say(over, table.columns["lowest"], f"{text}; both are taken as unknown", notes)
        values["lowest"][over] = values["highest"][over] = np.nan
    return values


def _bounds(column: Column, hourly: bool) -> tuple[float, float, str]:
    if column.kind == "rain":
        return 0.0, _RAIN_AN_HOUR_MM if hourly else _RAIN_A_DAY_MM, "mm"
    if column.kind == "temperature":
        return LOWEST_CELSIUS, HIGHEST_CELSIUS, "°C"
    return _BOUNDS[column.name]


def _possible(column: Column, hourly: bool, file: str, notes: list[Note]) -> Floats:
    column = _without_marks(column, hourly, notes)
    values = _in_si(column)
    if column.name == "humidity":
        _refuse_fractions(column, file)
    lowest, highest, unit = _bounds(column, hourly)
    outside, never_often = _wrong(column, values, hourly)
    wrong = int(never_often.sum())
    if too_many(wrong, int(np.isfinite(values).sum())):
        shown, row = _first(column, values, never_often, unit)
        more = f", and {wrong - 1:,} more of {len(values):,} values" if wrong > 1 else ""
        remedy = _remedy(column, outside, never_often)
        raise fault(file, row, f"{shown}{more}: no place has the like so often; {remedy}")
    if outside.any():
        shown, _ = _first(column, values, outside, unit)
        text = f"{shown} is outside {lowest:g} to {highest:g} {unit}; taken as unknown"
        notes.append(grouped(column.rows[outside], text))
        values[outside] = np.nan
    return values


def _in_si(column: Column) -> Floats:
    values = column.si
    if column.name == "humidity":
        values[(values > 100) & (values <= _SATURATED_PERCENT)] = 100.0
    return values


def _wrong(column: Column, values: Floats, hourly: bool) -> tuple[Flags, Flags]:
    """Where the values are such as no place has, and where such as no place has often."""
    lowest, highest, _ = _bounds(column, hourly)
    outside: Flags = (values < lowest) | (values > highest)
    # A value may be as hot as that, many are not: so °F in a mild winter is found out.
    return outside, outside | (values > _HEAT_CELSIUS) if column.kind == "temperature" else outside


def _without_marks(column: Column, hourly: bool, notes: list[Note]) -> Column:
    """The column without numbers that stand for missing; where the rest cannot be either, 99 may be one of many °F."""
    marks = marks_of(column, _wrong(column, _in_si(column), hourly)[0], hourly)
    if not marks.any():
        return column
    rest, said = without(column, marks)
    if too_many(int(_wrong(rest, _in_si(rest), hourly)[1].sum()), int(np.isfinite(rest.written).sum())):
        low, high = np.nanmin(rest.written), np.nanmax(rest.written)
        span = high - low
        return without(column, marks & ((column.written > high + span) | (column.written < low - span)))[0]
    notes += said
    return rest


def _remedy(column: Column, outside: Flags, wrong: Flags) -> str:
    number = same_number(column.written, wrong)
    if number is None or not outside[column.written == number].all():
        return _other_unit(column)
    return f"{number:.12g} again and again looks like a mark for missing; leave the field empty where nothing is known"


def _first(column: Column, values: Floats, which: Flags, unit: str) -> tuple[str, int]:
    """The value of the first of these rows, as written and in the unit reckoned with, and its row."""
    place = int(np.flatnonzero(which)[np.argmin(column.rows[which])])
    shown = f"{column.name} {column.written[place]:g} {column.unit.word}"
    if column.unit.word != unit:
        shown += f" ({values[place]:.1f} {unit})"
    return shown, int(column.rows[place])


def _other_unit(column: Column) -> str:
    likely = [f"[{other.word}]" for other in likely_units(column)]
    ask = f"these look like {listed(likely, 'or')}" if likely else "which unit are they in?"
    return f"the unit is not {column.unit.word}; {ask}; write the right one behind the column's name"


def _refuse_fractions(column: Column, file: str) -> None:
    known = column.written[np.isfinite(column.written)]
    if column.unit.word == "%" and len(known) >= _ENOUGH_VALUES and np.median(known) > 0.1 and known.max() <= 1.05:
        text = (
            f"no '{column.name}' is above {known.max():g} %: these look like fractions; write {column.name} [fraction]"
        )
        raise fault(file, int(column.rows.min()), text)


def _refuse_if_many(wrong: Flags, known: Floats, column: Column, file: str, text: str, remedy: str) -> None:
    if too_many(int(wrong.sum()), int(np.isfinite(known).sum())):
        raise fault(file, int(column.rows[wrong].min()), f"{text}, in {counted(int(wrong.sum()), 'row')}; {remedy}")


def _say(wrong: Flags, column: Column, text: str, notes: list[Note]) -> None:
    if wrong.any():
        notes.append(grouped(column.rows[wrong], text))


def unlikely(table: Table, values: Mapping[str, Floats]) -> list[Note]:
    """What can be, but hardly where bees are kept: a year that is never warm, endless rain, endless storm."""
    notes: list[Note] = []
    per_day = 24 if table.hourly else 1
    warm = values["temperature" if table.hourly else "highest"]
    known = warm[np.isfinite(warm)]
    if len(known) >= 300 * per_day and (top := float(np.percentile(known, 98))) < 8:
        unit = table.columns["temperature" if table.hourly else "highest"].unit.word
        text = f"in all these months it is hardly ever warmer than {top:.0f} °C; is [{unit}] the right unit?"
        notes.append(Note(None, text))
    if "rain" in values:
        fell = values["rain"][np.isfinite(values["rain"])]
        if len(fell) >= 300 * per_day and (year := float(fell.mean()) * 365 * per_day) > 6000:
            unit = table.columns["rain"].unit.word
            notes.append(Note(None, f"the rain comes to {year:,.0f} mm a year; is [{unit}] the right unit?"))
    if "wind" in values:
        blew = values["wind"][np.isfinite(values["wind"])]
        if len(blew) >= 300 and (usual := float(np.median(blew))) > _WIND_ON_AVERAGE_M_S:
            unit = table.columns["wind"].unit.word
            notes.append(
                Note(None, f"half of the time the wind is {usual:.0f} m/s or more; is [{unit}] the right unit?")
            )
    return notes
