"""What people get to read of a plan."""
