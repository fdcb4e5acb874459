"""What ``steadfoot archive`` writes: rows for people, CSV, a table for programs."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import asdict, fields
from typing import Any

from wizard.archive.archive_query import ArchivePage, ArchiveRow
from wizard.archive.callbacks import Callback
from wizard.archive.session_facts import SignStanding
from wizard.foreign.harmless import harmless
from wizard.review.flags.flag_sorts import sort_words
from wizard.sessions.trusting.ledger_compared import LedgersCompared

HEADS = ("risk", "session", "machine", "complaint", "fault", "stands", "min", "record", "flags", "why")
WIDTHS = {"machine": 20, "complaint": 34, "fault": 28, "why": 60}
"""The most columns of a cell: what runs over is cut, and said so by dots."""

RECORDS = {
    SignStanding.SIGNED: "signed",
    SignStanding.CHANGED: "CHANGED",
    SignStanding.UNSIGNED: "unsigned",
    SignStanding.RETURNED: "returned by",
    SignStanding.TRAINING: "for training by",
    SignStanding.ANSWERED: "ANSWERED to",
}
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def record_words(row: ArchiveRow) -> str:
    """'unsigned', 'signed C. Marsh', with what is wrong, or that it was not looked at, before it."""
    signed = f"{RECORDS[row.standing]} {row.signed_by}".strip()
    if row.trouble:
        return f"UNREADABLE, {signed}"
    if row.wrong:
        return f"NOT VERIFIED, {signed}"
    return signed if row.looked else f"not looked at, {signed}"


def rows_of(rows: Iterable[ArchiveRow]) -> list[list[str]]:
    """The cells of a table under HEADS."""
    return [
        [_cut(head, cell) for head, cell in zip(HEADS, cells, strict=True)] for cells in map(_cells, rows)
    ]


def _cells(row: ArchiveRow) -> tuple[str, ...]:
    machine = " ".join(filter(None, (row.maker, row.model))) or row.kind
    why = "; ".join(row.reasons) if row.looked else ""
    return (
        str(row.risk) if row.looked else "?", row.session, machine, row.complaint, row.faults, row.stands,
        f"{row.minutes:.0f}", record_words(row), sort_words(row.flags), why,
    )  # fmt: skip


def _cut(head: str, cell: str) -> str:
    most = WIDTHS.get(head, len(cell))
    return cell if len(cell) <= most else f"{cell[: most - 3]}..."


BACK_HEADS = (
    "days",
    "machine",
    "serial",
    "came back",
    "fault",
    "stands",
    "before",
    "fault then",
    "stood",
    "by",
)


def back_rows(found: Iterable[Callback]) -> list[list[str]]:
    """The cells of a table under BACK_HEADS: a machine that came back a row, the job after beside the one before."""
    return [
        [
            str(one.days), " ".join(filter(None, (one.after.maker, one.after.model))), one.after.serial,
            one.after.session, _cut("fault", one.after.faults), one.after.stands,
            one.before.session, _cut("fault", one.before.faults), one.before.stands, one.before.technician,
        ]
        for one in found
    ]  # fmt: skip


def csv_of(rows: Iterable[ArchiveRow]) -> str:
    """All columns as CSV, for a spreadsheet."""
    return csv_text([f.name for f in fields(ArchiveRow)], (asdict(row).values() for row in rows))


def csv_text(heads: Sequence[str], rows: Iterable[Iterable[Any]]) -> str:
    """Rows under their heads as CSV: a text that a spreadsheet would take for a formula has a ' before it, what is not
    known is empty.
    """
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow(["" if value is None else _cell(value) for value in row])
    return made.getvalue()


def _cell(value: Any) -> str:
    text = harmless("; ".join(value) if isinstance(value, tuple) else str(value))
    return f"'{text}" if text.startswith(_FORMULA) else text


def table_of(found: ArchivePage, ledgers: LedgersCompared) -> dict[str, Any]:
    """The rows as plain dicts, how many there are (``more``: there are more), how many were not looked at yet, and the
    ledgers that closing seals were compared with.
    """
    return {
        "count": found.count,
        "more": found.more,
        "not-looked-at": found.unappraised,
        "ledgers": ledgers.table,
        "sessions": [asdict(row) for row in found.rows],
    }


def page_lines(found: ArchivePage, asked: Sequence[tuple[str, str]]) -> list[str]:
    """What stands under the rows."""
    which = f" with {', '.join(f'{name} {value!r}' for name, value in asked)}" if asked else ""
    lines = [f"{len(found.rows)} of {found.counted} sessions{which}."]
    if found.unappraised:
        lines.append(
            f"{found.unappraised} of all sessions were not verified and looked at yet, so their risk is not known: "
            "steadfoot archive without --quick does it."
        )
    return lines
