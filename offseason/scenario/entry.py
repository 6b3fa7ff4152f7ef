"""What all entries of a scenario have in common: plain numbers with their bounds, and a word on each field."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

Name = Annotated[str, Field(min_length=1, max_length=120)]
Minutes = Annotated[float, Field(strict=True, ge=0, le=100_000)]
SomeMinutes = Annotated[float, Field(strict=True, gt=0, le=100_000)]
Count = Annotated[int, Field(strict=True, ge=1, le=10_000_000)]
Hands = Annotated[int, Field(strict=True, ge=1, le=20)]
Worth = Annotated[int, Field(strict=True, ge=1, le=1000)]
Degrees = Annotated[float, Field(strict=True, ge=-60, le=60)]
HoursAfter = Annotated[int, Field(strict=True, ge=0, le=240)]
PerCent = Annotated[float, Field(strict=True, ge=0, le=100)]


def said(text: str, *examples: Any, alias: str | None = None) -> Any:
    """What a field means, for the keeper, with examples of what to write."""
    return Field(alias=alias, description=text, examples=list(examples))


class Entry(BaseModel):
    """Common to all entries: frozen, and no key that is not described here."""

    model_config = ConfigDict(frozen=True, extra="forbid")
