"""The lines of the reviewer's screen: one a session, more of the marked one, what is asked and how far it was read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from textual.content import Content

from wizard.archive.archive_query import ArchiveOrder, ArchiveRow
from wizard.archive.bringing_up import BringingUp
from wizard.archive.session_facts import SignStanding
from wizard.domain.counting import plural
from wizard.foreign.harmless import harmless
from wizard.journal.session_name import short_name
from wizard.review.flags.flag_sorts import sort_letters, sort_words
from wizard.screens.archive.archive_view import FILTERS, MOST, ArchiveView
from wizard.screens.text.charset import sign
from wizard.screens.text.clipping import cut
from wizard.screens.text.step_text import wrap
from wizard.screens.text.wrapping import wrapped

WIDE = 110
"""Columns from which on machine, fault and complaint stand in the line."""

NAME, RECORD, FLAGS = 13, 10, 5
"""Columns of a session's name at the least, of how its record stands, and of the kinds of its flags."""

COLUMNS = ((WIDE, "machine", 17), (140, "technician", 13), (WIDE, "fault", 22), (170, "complaint", 34))
"""From how many columns on what else stands in a line, and how wide."""

WHOLE = frozenset({"fault"})
"""The columns whose words are never cut."""

_RECORDS = {
    SignStanding.UNSIGNED: "unsigned",
    SignStanding.CHANGED: "CHANGED",
    SignStanding.SIGNED: "signed",
    SignStanding.RETURNED: "returned",
    SignStanding.TRAINING: "training",
    SignStanding.ANSWERED: "ANSWERED",
}
_NEW_TO_READ = (SignStanding.CHANGED, SignStanding.ANSWERED)
_DOING = {BringingUp.READ: "Reading sessions", BringingUp.APPRAISED: "Verifying and looking for flags"}


def record_word(row: ArchiveRow) -> str:
    """How the record stands, in a word: what is wrong comes before whether it was signed."""
    if row.trouble:
        return "UNREADABLE"
    if row.wrong:
        return "NOT WHOLE"
    return _RECORDS[row.standing] if row.looked else "unchecked"


def head_line(view: ArchiveView) -> Content:
    """What is listed, and how many there are."""
    order = "newest first" if view.asked.order is ArchiveOrder.NEWEST else "worth reading first"
    if view.page is None:
        return Content.styled("Archive", "bold $primary").append(Content("  opening ..."))
    count = view.page.count
    shown = f"first {MOST} of {view.page.counted} sessions" if count > MOST else plural(count, "session")
    left = f"; {view.page.unappraised} of all not verified yet" if view.page.unappraised else ""
    ledgers = f"; {view.ledgers.short}" if view.ledgers is not None else ""
    words = f"  {shown}, {order}{left}{ledgers}"
    return Content.styled("Archive", "bold $primary").append(Content(words))


def asked_line(view: ArchiveView, width: int) -> Content:
    """The words and filters that are set."""
    names = {
        **dict(FILTERS),
        "words": "Words",
        "maker": "Maker",
        "plate": "Machine",
        "cell": "Trend",
        "among": "Met again",
    }
    texts = [f"{names[name]}: {harmless(value)}" for name, value in view.asked.asked]
    return Content.styled(cut(f" {sign('·')} ".join(texts) or "All sessions", width), "$faint")


def heads_line(rows: Sequence[ArchiveRow], width: int) -> Content:
    """The heads of the columns."""
    wide = "".join(f"{head:<{room}}  " for head, room in _columns(width))
    name = max([NAME, *map(len, _names(rows))])
    return Content.styled(
        f"  {'risk':>4}  {'session':<{name}}  {'record':<{RECORD}}  {'flags':<{FLAGS}}  {wide}why", "$faint"
    )


def _columns(width: int) -> tuple[tuple[str, int], ...]:
    return tuple((head, room) for least, head, room in COLUMNS if width >= least)


def row_lines(rows: Sequence[ArchiveRow], width: int) -> list[Content]:
    """A line a session, cut to the window, but a fault's name whole, on several lines where it must be; by day and
    letter where no other in sight has these.
    """
    names = _names(rows)
    room = max([NAME, *map(len, names)])
    return [_row(row, f"{name:<{room}}", width) for row, name in zip(rows, names, strict=True)]


def _names(rows: Sequence[ArchiveRow]) -> list[str]:
    """What each session is called: by day and letter where no other in sight has these, else whole."""
    count = Counter(short_name(row.session) for row in rows)
    return [short_name(r.session) if count[short_name(r.session)] == 1 else r.session for r in rows]


def _row(row: ArchiveRow, name: str, width: int) -> Content:
    record = record_word(row)
    style = "$error" if row.trouble or row.wrong else "$warning" if row.standing in _NEW_TO_READ else ""
    line = Content(f"{row.risk if row.looked else '?':>4}  {name}  ").append(
        Content.styled(f"{record:<{RECORD}}", style)
    )
    letters = sort_letters(row.flags)
    line = line.append(
        Content.styled(f"  {letters:<{FLAGS}}", "$error" if letters != letters.lower() else "")
    )
    used = 2 + 4 + 2 + len(name) + 2 + RECORD + 2 + FLAGS + 2
    cells = {
        "machine": " ".join(filter(None, (row.maker, row.model))) or row.kind,
        "technician": row.technician,
        "complaint": row.complaint,
        "fault": row.faults,
    }
    under: list[str] = []
    for head, room in _columns(width):
        text = harmless(cells[head] or "-")
        shown = cut(text, room)
        if head in WHOLE:
            shown, *rest = wrapped(text, room)
            under = [f"{' ' * (len(line.plain) + 2)}{more}" for more in rest]
        line = line.append(Content(f"  {shown:<{room}}"))
        used += room + 2
    line = line.append(Content(f"  {cut(why_words(row), max(8, width - used - 2))}"))
    return Content("\n").join([line, *map(Content, under)])


def why_words(row: ArchiveRow) -> str:
    """Why it is worth reading."""
    if not row.looked:
        return "not looked at yet"
    return harmless("; ".join(row.reasons)) or "nothing that the rule looks for"


def more_lines(row: ArchiveRow | None, width: int, most: int) -> list[Content]:
    """More of the marked session, the gravest first: why it stands where it does, its record, how it ended, what the
    customer said. On a narrow screen what would take a second line is cut.
    """
    if row is None:
        return []
    machine = " ".join(filter(None, (row.maker, row.model, row.serial))) or "no plate noted"
    facts = (row.session, row.kind, machine, row.technician, row.ticket, f"{row.minutes:.0f} min")
    ended = (
        ()
        if row.trouble
        else (
            (f"{row.stands[:1].upper()}{row.stands[1:]}: {row.faults or 'no fault named'}", ""),
            (f"Complaint: {row.complaint or '-'}", ""),
        )
    )
    texts = (
        (f" {sign('·')} ".join(filter(None, facts)), "bold"),
        (f"Risk {row.risk}: {why_words(row)}.{_flags(row)}" if row.looked else "Risk not known yet.", ""),
        (record_sentence(row), "$error" if row.wrong or row.trouble else ""),
        *ended,
    )
    lines: list[Content] = []
    for at, (text, style) in enumerate(texts):
        room = most - len(lines) - (len(texts) - at - 1)
        lines += wrap(harmless(text), width, style)[: max(1, room)]
        if len(wrap(harmless(text), width)) > max(1, room):
            lines[-1] = Content.styled(cut(f"{lines[-1].plain} ...", width), style)
    return lines[:most]


def _flags(row: ArchiveRow) -> str:
    words = sort_words(row.flags)
    return f" Flags: {words}." if words else ""


def record_sentence(row: ArchiveRow) -> str:
    """What is known of the record, and no more: verified when its files were read last, and who signed it."""
    signed = {
        SignStanding.UNSIGNED: "Not signed off.",
        SignStanding.CHANGED: f"Changed since {row.signed_by} signed it off.",
        SignStanding.SIGNED: f"Signed off by {row.signed_by}.",
        SignStanding.RETURNED: f"Returned by {row.signed_by}, not answered yet.",
        SignStanding.TRAINING: f"Something to learn from, by {row.signed_by}, not answered yet.",
        SignStanding.ANSWERED: f"The technician answered {row.signed_by}.",
    }[row.standing]
    if row.trouble:
        return harmless(f"{signed} It can't be read: {row.trouble}")
    if row.wrong:
        return harmless(f"{signed} It does not verify: {row.wrong}")
    return harmless(f"{'Verified.' if row.looked else 'Not verified yet.'} {signed}")


def doing_words(view: ArchiveView) -> str:
    """What is under way; empty where nothing is."""
    if view.doing is None:
        return ""
    return f"{_DOING[view.doing.what]}: {view.doing.done} of {view.doing.of}. The list is that of what is known so far."
