"""How many examples a property is tried on: a third by day, all of them by night."""

import os

ALL = os.environ.get("STEADFOOT_EXAMPLES") == "all"


def examples(most: int) -> int:
    """This many with STEADFOOT_EXAMPLES=all, else a third."""
    return most if ALL else max(5, most // 3)
