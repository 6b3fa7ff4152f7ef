"""Weather: which hours of a day are fit for which need."""
