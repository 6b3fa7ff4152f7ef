"""A clock that stands: some answers of offseason hang on the day, such as what is to be ordered now."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from typing import Any

import offseason


class _AnyMoment(type):
    def __instancecheck__(cls, thing: Any) -> bool:
        return isinstance(thing, datetime)


def stopped_at(moment: datetime) -> type[datetime]:
    """The class ``datetime``, for which it is always that moment."""

    class Stopped(datetime, metaclass=_AnyMoment):
        @classmethod
        def now(cls, tz=None):
            return moment.astimezone(tz) if tz else moment.astimezone().replace(tzinfo=None)

        def __reduce_ex__(self, protocol):
            return datetime.combine(self.date(), self.timetz()).__reduce_ex__(protocol)  # other processes know that one

    return Stopped


@contextmanager
def stopped_clock(day: date | None) -> Iterator[None]:
    """Within it, it is noon of that day by UTC wherever a module of offseason asks; None: the day it is."""
    if day is None:
        yield
        return
    stopped = stopped_at(datetime.combine(day, time(12), tzinfo=UTC))
    found = (module.name for module in pkgutil.walk_packages(offseason.__path__, "offseason."))
    modules = [importlib.import_module(name) for name in found if not name.endswith("__main__")]
    asking = [module for module in modules if getattr(module, "datetime", None) is datetime]
    try:
        for module in asking:
            module.datetime = stopped
        yield
    finally:
        for module in asking:
            module.datetime = datetime
