"""Entry of `python -m mocks`."""

import sys

from .serve import main

sys.exit(main(sys.argv[1:]))
