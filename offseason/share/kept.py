"""What somebody changed in the files that were shared: kept beside them before they are written over, and told."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from offseason.scenario.nearest import listed
from offseason.share.target import before_of

_MANY = "were changed since they were shared; as they were they are"


@dataclass(frozen=True)
class Aside:
    """The files to be kept, by name, each with its print; ``over``: those for which an older one kept goes."""

    prints: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    over: Collection[str] = ()

    def told(self, names: Iterable[str]) -> str:
        """What was changed and where it is kept, of these of them, in a sentence; empty where there is none of them."""
        kept = [name for name in self.prints if name in set(names)]
        if not kept:
            return ""
        changed = "was changed since it was shared; as it was it is" if len(kept) == 1 else _MANY
        over = listed(kept_as(name) for name in kept if name in self.over)
        gone = f", and what was kept in {over} until now is gone" if over else ""
        return f"{listed(kept)} {changed} kept in {listed(map(kept_as, kept))}{gone}."


def kept_as(name: str) -> str:
    """The name under which a file of the folder is kept."""
    return before_of(Path(name)).name
