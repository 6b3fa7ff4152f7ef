"""What the keeper writes: the data model of a winter, and reading it with every mistake named at its place."""
