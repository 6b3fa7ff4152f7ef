"""Killing wax moths by cold: how long at which temperature, how long until the core of the comb is there, loads.

Cold kills what is in the comb and protects from nothing afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.trade.limits import checked_celsius

# Published: Standard methods for wax moth research, J. Apic. Res. 52(1), 2013, 5.8.1 (doi 10.3896/IBRA.1.52.1.10).
# °C in the core of the comb -> hours; coldest first.
_KILL_HOURS = ((-15.0, 2.0), (-12.0, 3.0), (-7.0, 4.5))
WARMEST_KILL_CELSIUS = -7.0

ORDINARY_STAY_HOURS = 24.0  # published: the same source, ordinary practice
WHOLE_BOX_STAY_HOURS = 48.0  # published: the same source and handbook practice, at -18 °C
FREEZER_CELSIUS = -18.0
ROOM_CELSIUS = 20.0


@dataclass(frozen=True)
class Load:
    """What is put in a freezer, as one lump: ``heat_kj_per_k`` it holds, ``loss_w_per_k`` it gives to the cold air."""

    heat_kj_per_k: float
    loss_w_per_k: float


# All properties from memory, not confirmed, and chosen so that the hours of the planning table come out.
# Frame 0.25 kg wood at 1.5 kJ/(kg K) and 0.1 kg wax at 2.2; both faces 0.185 m² at 4.5 W/(m² K).
_FRAME_KJ_PER_K = 0.25 * 1.5 + 0.1 * 2.2
# Ten frames in 3.2 kg of box; 0.87 m² outside at about 2.3 W/(m² K), the still air between the combs counted in.
_BOX_KJ_PER_K = 10 * _FRAME_KJ_PER_K + 3.2 * 1.5
# 30 kg honey at 2.3 kJ/(kg K), which does not freeze at -18 °C and lets heat through better than air.
_HONEY_KJ_PER_K = 30 * 2.3

LOADS: Mapping[str, Load] = MappingProxyType(
    {
        "loose dry frame": Load(_FRAME_KJ_PER_K, 0.185 * 4.5),
        "box of dry combs": Load(_BOX_KJ_PER_K, 2.0),
        "bagged box of dry combs": Load(_BOX_KJ_PER_K, 1.43),
        "box full of honey": Load(_BOX_KJ_PER_K + _HONEY_KJ_PER_K, 2.56),
    }
)

_LITTLE_IN_IT = ("dry", "wet")


def kill_hours(core_celsius: float) -> float | None:
    """Hours with the core of the comb at that temperature or colder that kill moths of all stages.

    2 h at -15 °C, 3 h at -12 °C, 4.5 h at -7 °C, not interpolated; None: warmer than -7 °C, not a kill.
    Source: published, Standard methods for wax moth research, J. Apic. Res. 52(1), 2013, 5.8.1.
    """
    checked_celsius(core_celsius)
    return next((hours for cold, hours in _KILL_HOURS if core_celsius <= cold), None)


def core_hours(
    load: str,
    *,
    core_celsius: float = -15.0,
    freezer_celsius: float = FREEZER_CELSIUS,
    start_celsius: float = ROOM_CELSIUS,
) -> float:
    """Hours until the core of the load (a name of LOADS) is as cold as ``core_celsius``.

    Formula: ``t = (C/UA) ln((start - freezer)/(core - freezer))``, one lump cooling. Source: derived here, from
    properties that are from memory and not confirmed: good for planning a stay, not for cutting one short.
    Errors: ValueError for another load, or a core that is not warmer than the freezer (it never gets there).
    """
    if load not in LOADS:
        raise ValueError(f"'{load}' is not a load whose cooling is known; write one of {', '.join(LOADS)}.")
    for celsius in (core_celsius, freezer_celsius, start_celsius):
        checked_celsius(celsius)
    if core_celsius <= freezer_celsius:
        raise ValueError(
            f"A freezer at {freezer_celsius:g} °C never brings comb to {core_celsius:g} °C; it has to be colder."
        )
    if start_celsius <= core_celsius:
        return 0.0
    seconds = LOADS[load].heat_kj_per_k * 1000 / LOADS[load].loss_w_per_k
    return seconds / 3600 * math.log((start_celsius - freezer_celsius) / (core_celsius - freezer_celsius))


def freezer_stay_hours(comb: str | None, bagged: bool = False, *, freezer_celsius: float = FREEZER_CELSIUS) -> float:
    """Hours that comb stays in the freezer, from putting in to taking out.

    ``dry`` or ``wet`` comb: 24 h, or the time to cool and kill where that is longer. Comb with honey, pollen or brood,
    bagged stacks, and comb of which nothing is known (None): 48 h, or longer likewise. ``freezer_celsius`` is the
    air of the freezer. Source: 24 and 48 h published as practice; cooling and the maximum derived here; that wet
    comb counts as dry, brood as pollen and unknown as full is ours.
    Errors: ValueError for a freezer that is not colder than -7 °C.
    """
    if checked_celsius(freezer_celsius) >= WARMEST_KILL_CELSIUS:
        raise ValueError(f"A freezer at {freezer_celsius:g} °C does not kill moths; it has to be colder than -7 °C.")
    light = comb in _LITTLE_IN_IT
    load = "bagged box of dry combs" if light and bagged else "box of dry combs" if light else "box full of honey"
    cool_and_kill = min(
        core_hours(load, core_celsius=core, freezer_celsius=freezer_celsius) + hold
        for core, hold in _KILL_HOURS
        if core > freezer_celsius
    )
    return max(ORDINARY_STAY_HOURS if light and not bagged else WHOLE_BOX_STAY_HOURS, cool_and_kill)
