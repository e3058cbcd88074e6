"""What goes between the event loop and the work thread, and what is done over there."""
