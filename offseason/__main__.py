"""``python -m offseason`` is the same as the command ``offseason``."""

import sys

if __name__ == "__main__":
    try:
        from offseason.cli import main
    except KeyboardInterrupt:  # pressed before anything was begun
        sys.exit(130)
    sys.exit(main())
