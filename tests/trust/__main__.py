"""Make the table of edits anew: ``python -m tests.trust``. It takes some minutes on two slow cores."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.trust.edit_outcomes import outcome_of
from tests.trust.edit_table import PAGE, page
from tests.trust.session_edits import EDITS


def main() -> int:
    """Write the page."""
    found = []
    for number, edit in enumerate(EDITS, 1):
        with TemporaryDirectory() as folder:
            found.append(outcome_of(edit, Path(folder) / "home"))
        print(f"{number} of {len(EDITS)}: {edit.group}: {edit.says}: {found[-1].cells}", file=sys.stderr)
    PAGE.write_text(page(EDITS, found), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
