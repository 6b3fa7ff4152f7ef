"""What was done so far: the log beside the plan, and what it tells of the work still to come."""
