"""``python -m wizard.cli``: the command where the script is not on the path."""

import sys

from wizard.cli.main import main

sys.exit(main())
