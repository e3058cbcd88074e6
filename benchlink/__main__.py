"""`python -m benchlink`."""

import sys

from benchlink.faces.entry import main

sys.exit(main())
