"""What would make a winter fit that does not: what can be changed, at what price, and proof that it is enough."""
