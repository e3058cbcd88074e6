"""The version that stands on every backup."""

from typing import Final

VERSION: Final = "0.1.0"
