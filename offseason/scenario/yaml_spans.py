"""Where each key and value of a YAML text begins and ends, so that the text can be changed in place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from offseason.scenario.yaml_tree import Path

_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass
class Span:
    """A value of the text: from ``start`` up to ``end``, in characters; its key from ``key_start`` to ``key_end``.

    ``flow``: written in braces or brackets. ``inside``: paths of what it holds, in order. Blocks end with the last
    thing in them, not with the comments after it. ``alias``: it stands for what is written elsewhere.
    """

    start: int
    end: int
    key_start: int
    key_end: int
    flow: bool = False
    alias: bool = False
    inside: list[Path] = field(default_factory=list)


@dataclass
class _Open:
    path: Path
    is_block: bool
    key: tuple[str, int, int] | None = None


def spans_of(text: str) -> dict[Path, Span]:
    """The span of every value by its path of keys and list indices; () is the whole. ``text`` is known to be YAML."""
    found: dict[Path, Span] = {}
    open_: list[_Open] = []
    events: Iterator[Any] = yaml.parse(text, Loader=_FAST)
    for event in events:
        end = event.end_mark.index
        if isinstance(event, yaml.CollectionEndEvent):
            closed = found[open_.pop().path]
            inner = [found[path].end for path in closed.inside]
            closed.end = end if closed.flow or not inner else inner[-1]
        elif isinstance(event, yaml.NodeEvent):
            _node(event, found, open_)
    return found


def _node(event: Any, found: dict[Path, Span], open_: list[_Open]) -> None:
    start, end = event.start_mark.index, event.end_mark.index
    parent = open_[-1] if open_ else None
    if parent is not None and parent.is_block and parent.key is None:
        parent.key = (getattr(event, "value", ""), start, end)
        return
    path: Path = ()
    key = start, start
    if parent is not None:
        last: str | int = len(found[parent.path].inside)
        if parent.key is not None:
            last, *ends = parent.key
            key = ends[0], ends[1]
            parent.key = None
        path = (*parent.path, last)
        found[parent.path].inside.append(path)
    flow = bool(getattr(event, "flow_style", False))
    found[path] = Span(start, end, *key, flow=flow, alias=isinstance(event, yaml.AliasEvent))
    if isinstance(event, yaml.CollectionStartEvent):
        open_.append(_Open(path, isinstance(event, yaml.MappingStartEvent)))
