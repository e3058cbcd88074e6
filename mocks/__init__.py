"""Simulated aircraft: boards with consoles, served on a pty or a TCP port."""
