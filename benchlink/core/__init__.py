"""Pure values and decisions: no I/O, no clock."""
