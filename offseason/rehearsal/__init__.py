"""A plan rehearsed in past winters: how it would have gone with the weather of each."""

from offseason.rehearsal.replay import Asked, Stage
from offseason.rehearsal.side_by_side import Progress, rehearse

__all__ = ["Asked", "Progress", "Stage", "rehearse"]
