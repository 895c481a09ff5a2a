"""python -m tui: the same as the command shedbook."""

import sys

from tui.cli import main

sys.exit(main())
