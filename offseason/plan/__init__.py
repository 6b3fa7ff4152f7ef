"""The plan as a document: what it says, its file, its making from a schedule, and its independent audit."""
