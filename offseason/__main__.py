"""``python -m offseason`` is the same as the command ``offseason``."""

import sys

from offseason.cli import main

sys.exit(main())
