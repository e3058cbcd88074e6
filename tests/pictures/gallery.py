"""The screens that are exported as pictures: each by its name, as it is drawn now."""

import os
from collections.abc import Awaitable, Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from benchlink.core.scene import MotorState
from benchlink.faces.screen.home_facts import PropsOffFor, Volts
from benchlink.faces.screen.news import AskedFor
from benchlink.units import Seconds
from tests.faces.screen.home_bench import facts, home
from tests.faces.screen.scene_bench import at_page
from tests.pictures.drawing import drawn
from tests.support.scenes import READ_PROMPT, read, spin, tilt

FOLDER: Final = Path(__file__).parent
