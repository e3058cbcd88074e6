"""The page of the settings, and what is marked on it."""
