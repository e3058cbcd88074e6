"""Talking to a board at a prompt: the only place that knows prompt_toolkit."""
