"""Wires to a board, and the one thread that owns the open one."""
