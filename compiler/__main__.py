"""`python -m compiler`, the same as the command `standproud`."""

import sys

from compiler.commands.main import main

if __name__ == "__main__":
    sys.exit(main())
