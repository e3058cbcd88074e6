"""The page of a piece of work, and the scene on it."""
