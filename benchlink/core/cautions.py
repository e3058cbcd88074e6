"""What is said before anything moves: each caution in one wording, wherever it stands."""

from typing import Final

OWN_SIDES: Final = (
    "Left and right are the aircraft's own, the nose away from you; forward is towards"
    " the nose on both sides."
)
PULL_THE_PACK: Final = "Pull the pack, from behind the disc."
REAL_STOP: Final = "The real stop: pull the pack, from behind the disc."
"""Of a motor: nothing else feeds it."""

CUT_THE_POWER: Final = (
    "Pull the pack, from behind the disc, or switch off the bench supply."
)
"""Where a servo may be what moves: its rail has the one or the other."""
REAL_STOP_OF_ARMS: Final = (
    "The real stop: switch off the bench supply, or pull the pack, from behind the disc,"
    " whichever feeds the servo rail."
)
"""Of a tilt arm."""

BEFORE_MOTORS: Final = (
    "Motors may turn. Props off both hubs: look, and touch them.",
    "Frame clamped; nobody in the plane of the discs; eyes covered, hair and sleeves back.",
    f"{REAL_STOP} What the makers say of their motors, ESCs and packs comes first.",
)
"""Before props off is typed."""

AT_A_GLANCE: Final = (
    "Props off. Frame clamped. Nobody in the discs' plane. Eyes covered.",
    REAL_STOP,
)
"""The same, for whoever looks from afar."""
