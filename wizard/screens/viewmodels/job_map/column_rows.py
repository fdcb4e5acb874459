"""The job map as a narrow column beside a step: what is in hand, what is open, what was found; the rest folded."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from wizard.domain.vocabulary import NextKind
from wizard.engine.state.job_view import JobView
from wizard.screens.text.wrapping import hanging
from wizard.screens.viewmodels.job_map.map_rows import MARKS, MapMark, MapRow, rows

FOLDS: tuple[tuple[Collection[MapMark], str, str], ...] = (
    ((MapMark.ABSENT,), "-", "not for this machine"),
    ((MapMark.LATER, MapMark.OPTIONAL, MapMark.UNNEEDED), " ", "to come"),
    ((MapMark.DONE, MapMark.PASS, MapMark.FITTED, MapMark.GIVEN), "✓", "done"),
    ((MapMark.SKIPPED, MapMark.UNABLE, MapMark.NOT_FITTED, MapMark.DECLINED), "-", "left out"),
)
"""What is folded into a line with its number: these marks, the sign and the words of that line. The first always,
the others one after the other where the rows have no room.
"""


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """A row: its sign, its mark, its lines, and whether it is in hand."""

    sign: str
    mark: MapMark
    lines: tuple[str, ...]
    here: bool = False


def places(view: JobView) -> tuple[tuple[MapRow, ...], str]:
    """The rows of the map without what is asked before each, and the target of the one in hand."""
    state = view.state
    bottom = state.find_run(state.stack[0]) if state.stack else None
    in_hand = bottom.inspection if bottom is not None and not bottom.only else state.goal
    return rows(view, ways=False), in_hand


def column_rows(found: Sequence[MapRow], in_hand: str, width: int, room: int) -> list[ColumnRow]:
    """The rows in so many columns and at most ``room`` lines: as few as must be are folded, none is cut."""
    shown: list[ColumnRow] = []
    for deep in range(1, len(FOLDS) + 1):
        shown = _folded(found, in_hand, width, deep)
        if sum(len(row.lines) for row in shown) <= room:
            return shown
    return _around(shown, width, room)


def _folded(found: Sequence[MapRow], in_hand: str, width: int, deep: int) -> list[ColumnRow]:
    """The rows, the first ``deep`` kinds folded behind those that stay."""
    kept, counts = [], [0] * deep
    for row in found:
        here = bool(in_hand) and row.target == in_hand and row.kind is not NextKind.RECHECK
        fold = next((n for n in range(deep) if row.mark in FOLDS[n][0] and not here), None)
        if fold is None:
            kept.append(
                ColumnRow(MARKS[row.mark][0], row.mark, tuple(hanging("", row.title, width - 4)), here)
            )
        else:
            counts[fold] += 1
    for (marks, sign, words), count in zip(FOLDS, counts, strict=False):
        if count:
            kept.append(ColumnRow(sign, next(iter(marks)), tuple(hanging("", f"{count} {words}", width - 4))))
    return kept


def _around(shown: Sequence[ColumnRow], width: int, room: int) -> list[ColumnRow]:
    """As many rows as have room, from shortly before the one in hand; the last line says how many there are more."""
    at = next((n for n, row in enumerate(shown) if row.here), 0)
    kept: list[ColumnRow] = []
    for row in shown[max(0, at - 2) :]:
        if sum(len(r.lines) for r in kept) + len(row.lines) > room - 1:
            break
        kept.append(row)
    left = len(shown) - len(kept)
    return (
        [*kept, ColumnRow(" ", MapMark.LATER, tuple(hanging("", f"{left} more", width - 4)))]
        if left
        else kept
    )
