"""`python -m sparkout`: the same as the command `sparkout`."""

import sys

from sparkout.cli.main import run

if __name__ == "__main__":
    sys.exit(run())
