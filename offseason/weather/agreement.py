"""Whether temperature, humidity and dew point of a file belong together; where they do not, a unit is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import numpy as np

from offseason.trade.air import dew_point_celsius
from offseason.trade.limits import HIGHEST_CELSIUS, LOWEST_CELSIUS
from offseason.weather.notes import fault
from offseason.weather.records import Floats
from offseason.weather.table import Table
from offseason.weather.units import UNITS

_ENOUGH_ROWS = 12
_AT_MOST_ROWS = 500  # evenly spread over the file; more tell no more
# Ours: rounding to whole degrees and per cent leaves about 0.3 K, humidity over ice about 1 K.
_APART_K = 2.0
_DOUBTFUL_K, _BETTER_K = 0.7, 0.3


def refuse_if_apart(table: Table, values: Mapping[str, Floats], file: str) -> None:
    """Raise WeatherFileError where the dew point is not that of the temperature and humidity beside it.

    The dew point is reckoned by ``trade.air.dew_point_celsius`` (published, WMO-No. 8); half of the rows more than 2 K
    off it means a wrong unit, and so does less where other units fit closely.
    """
    if not {"temperature", "humidity", "dew point"} <= values.keys():
        return
    told = [values[name] for name in ("temperature", "humidity", "dew point")]
    whole = np.flatnonzero(np.isfinite(told).all(axis=0) & (told[1] >= 1))
    if len(whole) < _ENOUGH_ROWS:
        return
    places = whole[np.linspace(0, len(whole) - 1, min(len(whole), _AT_MOST_ROWS)).astype(np.int64)]
    apart = _apart_k(*(column[places] for column in told))
    if apart <= _DOUBTFUL_K:
        return
    air, dew = table.columns["temperature"], table.columns["dew point"]
    tried = {
        (one.word, other.word): _apart_k(one.si(air.written[places]), told[1][places], other.si(dew.written[places]))
        for one, other in product(UNITS["temperature"], repeat=2)
    }
    best = min(tried, key=tried.__getitem__)
    better = tried[best] <= _BETTER_K and tried[best] < apart / 2
    if apart <= _APART_K and not better:
        return
    text = f"the dew points are {apart:.1f} °C off what the temperatures and humidities beside them give"
    if better:
        remedy = f"they agree if the columns are written temperature [{best[0]}] and dew point [{best[1]}]"
    else:
        remedy = "one of these columns is in another unit, or of another place; correct it or strike out 'dew point'"
    raise fault(file, int(table.rows[places].min()), f"{text}; {remedy}")


def _apart_k(celsius: Floats, humidity_percent: Floats, dew_point: Floats) -> float:
    """Half of the rows are so far off or farther, in K; infinite where most temperatures cannot be."""
    possible = (celsius >= LOWEST_CELSIUS) & (celsius <= HIGHEST_CELSIUS)
    if possible.mean() < 0.95:
        return float("inf")
    reckoned = [dew_point_celsius(t, rh) for t, rh in zip(celsius[possible], humidity_percent[possible], strict=True)]
    return float(np.median(np.abs(dew_point[possible] - reckoned)))
