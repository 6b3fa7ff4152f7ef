"""Plans a beekeeper's winter of workshop work: from a scenario in YAML to an audited plan, day by day."""

__version__ = "0.1.0"
