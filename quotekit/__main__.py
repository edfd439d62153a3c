"""Lets `python -m quotekit` do what `quotekit` does."""

import sys

from quotekit.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
