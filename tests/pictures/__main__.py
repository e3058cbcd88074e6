"""`python -m tests.pictures`: draw every picture of the gallery anew."""

import asyncio
import os
import sys

from tests.pictures.gallery import GALLERY, file_of


async def main() -> int:
    """Write them all, and say where."""
    for name, picture in GALLERY.items():
        file = file_of(name)
        file.write_text(await picture(), encoding="utf-8")
        print(file)
    return 0


if __name__ == "__main__":
    for variable in ("NO_COLOR", "TEXTUAL_THEME"):
        os.environ.pop(variable, None)
    sys.exit(asyncio.run(main()))
