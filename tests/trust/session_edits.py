"""Edits of a closed session by somebody who can seal it again: each a name, what it does, and the edit itself."""

from tests.trust import event_edits, file_edits  # noqa: F401 (in this order they list themselves)
from tests.trust.edit_list import EDITS, SessionEdit

__all__ = ["EDITS", "SessionEdit"]
