"""From workload to schedule: the counting model, its relaxation, the dispatch on the clock, and the search."""

from offseason.solver.search import Progress, solve

__all__ = ["Progress", "solve"]
