"""The hands on a simulated aircraft, over whatever page shows."""
