"""From workload to schedule: the counting model, its relaxation, the dispatch on the clock, and the search."""

from offseason.solver.hunt import Progress
from offseason.solver.search import solve

__all__ = ["Progress", "solve"]
