"""The full screen: the only place that knows textual."""
