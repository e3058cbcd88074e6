"""What all tests share: how long anything may take is the machine's business."""

import os

from hypothesis import HealthCheck, settings

# The same examples each time: what a random one finds is written down as a test.
settings.register_profile(
    "bench",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("bench")

# What a terminal can do is the test's business, whatever the suite itself runs in.
os.environ["TERM"] = "xterm"
