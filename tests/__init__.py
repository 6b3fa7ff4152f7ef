"""Statements about the trade, about plans, and about what the keeper sees."""
