"""Memory that the collector leaves alone once a board is open."""

import gc
from typing import Final

GC_THRESHOLDS: Final = (50_000, 20, 100)


def steady_memory() -> None:
    """Keep the collector from walking through what will stay until the exit."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(*GC_THRESHOLDS)
