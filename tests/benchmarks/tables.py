"""Medians as they stand in the tables of the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from tabulate import tabulate

from tests.benchmarks.records import Case, Record, middle

NONE = "–"

Found = list[dict[str, Any]]
"""What the runs of one case gave."""


def cases_of(record: Record, *benches: str) -> list[Case]:
    """The cases of some benchmarks (none named: of all), once each."""
    return list(dict.fromkeys(one.case for one in record.figures if not benches or one.case.bench in benches))


def number(value: float | None, digits: int = 1) -> str:
    """A number for a table; large ones with no digits after the point."""
    if value is None:
        return NONE
    return f"{value:,.0f}" if abs(value) >= 1_000 else f"{round(value, digits) + 0.0:,.{digits}f}"


def share(value: float | None) -> str:
    """A share in per cent, no more exact than it is."""
    if value is None:
        return NONE
    return "0" if value == 0 else "< 0.1 %" if 0 < value < 0.001 else f"{100 * value:.1f} %"


def over(runs: Found, figure: Callable[[dict[str, Any]], float | None]) -> float | None:
    """The median of a figure over the runs; None where a run failed or has none."""
    return middle([None if "failed" in run else figure(run) for run in runs])


def table(rows: Sequence[Sequence[str]], head: Sequence[str]) -> str:
    """A table for the page, numbers to the right."""
    align = ["left", *("right" for _ in head[1:])]
    return tabulate(rows, head, tablefmt="github", disable_numparse=True, colalign=align if rows else None)


def shown(runs: Found, key: str, digits: int = 1) -> str:
    """The median of a figure, as it stands in a table."""
    return number(over(runs, lambda run: run[key]), digits)


def gap(aim: dict[str, Any]) -> float | None:
    """Distance from the proven bound as a share of what was reached; below 0 where that bound is wrong."""
    if aim["reached"] is None or aim["bound"] is None:
        return None
    away = aim["reached"] - aim["bound"]
    near = abs(away) <= 1e-9 * max(1.0, abs(aim["bound"]))
    return 0.0 if near else away / abs(aim["reached"] or 1.0)


def of_aim(aims: list[dict[str, Any]], name: str) -> dict[str, Any] | None:
    """The aim of this name; None where a run had none such, as one that left nothing undone."""
    return next((aim for aim in aims if aim["aim"] == name), None)
