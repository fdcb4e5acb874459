"""The page of edits: made of what was found, and read back by a test."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tests.trust.edit_outcomes import EditOutcome
from tests.trust.session_edits import SessionEdit

PAGE = Path(__file__).parent / "FIGURES.md"
HEADS = ("verify alone", "printed seal", "signature", "signed again", "ledger")

_HEAD = """# Which edit of a session is found by what

Made by `python -m tests.trust`; `tests/trust/test_session_edits.py` holds some rows by day and all of them by night.

A closed job of the small test flow (readings, photo, note, repair, proof, papers) is edited by somebody who may write
every file of the home and makes each seal again, the one on the paper in the folder too, unless the row says otherwise.

- **verify alone**: `session verify`, with no printed value, key or ledger: seals, every event decided again by the kept
  flow, photos and papers by their digests. 'said': under 'not checked' it says that the flow is not an approved one.
- **printed seal**: the 16 digits that the customer has, given with `--printed`; of a session that is gone, that whoever
  has the paper asks for it in vain.
- **signature**: of the closing seal and of what a reviewer wrote; the editor has no key of this shop. 'found' is
  whatever differs from 'known to this shop': wrong, of another key, or none where there was one.
- **signed again**: the editor is the laptop's own user, holds its key and signs seal and review anew. That is who
  writes a record.
- **ledger**: `ledger check --head`, against a head that was kept elsewhere.

| edit of | what is done | {heads} |
|---|---|{rule}|
"""

_FOOT = """
Of {count} edits verifying alone finds {0}, the printed seal {1}, the signature {2}, the signature of who holds the key
{3}, the ledger {4}; {none} found by none of them.

What it says: a seal that is made again is a seal, so the chain alone shows damage, carelessness and whatever the rules
would not have written; a job told otherwise by every rule passes it, and so do times. The printed seal and a kept head
show any other record, whoever made it, and so does a signature as long as its key is not the editor's. An edit of a
photo, a paper or the kept flow that leaves the journal as it was is found by verifying and by nothing else: the others
hold the journal. What a reviewer wrote can be taken out unseen: only the reviewer misses it. None shows that a
measurement was true.
"""


def row(edit: SessionEdit, found: EditOutcome) -> str:
    """One row of the table."""
    return f"| {edit.group} | {edit.says} | {' | '.join(found.cells)} |"


def page(edits: Sequence[SessionEdit], found: Sequence[EditOutcome]) -> str:
    """The whole page."""
    rows = "\n".join(row(edit, one) for edit, one in zip(edits, found, strict=True))
    columns = zip(*(one.cells for one in found), strict=True)
    counts = [sum(cell == "found" for cell in column) for column in columns]
    none = sum("found" not in one.cells for one in found)
    head = _HEAD.format(heads=" | ".join(HEADS), rule="|".join("---" for _ in HEADS))
    foot = _FOOT.format(*counts, count=len(edits), none=f"{none} is" if none == 1 else f"{none} are")
    return f"{head}{rows}\n{foot}"
