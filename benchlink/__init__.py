"""benchlink: a serial-port bench assistant for configuring a flight controller."""
