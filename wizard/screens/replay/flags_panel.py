"""The flags of a session in a list, the gravest first: Enter goes to one's place, two keys say whether it is fair."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import BindingType

from wizard.review.flags.flag import Flag
from wizard.review.flags.flag_sum import FlagSum, RuleSum, flag_sum
from wizard.review.replay import Replay
from wizard.screens.layout import key_table
from wizard.screens.replay.replay_lists import ListEntry, ListPanel, row_times
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.screens.widgets.entry.picklist import PickList
from wizard.sessions.judged_flags import JudgedFlag

Judge = Callable[[Flag, bool, Callable[[str], None]], None]
"""Writes whether a flag is fair, and hands on what was done."""

FOLDED = 3
"""Of a rule with more flags than this one row stands for all, until it is opened."""

_WORDS = {True: "fair", False: "not fair"}


@dataclass(frozen=True, slots=True)
class FlagRow:
    """A row of the list: one flag, or all of a rule that are folded into one (``flag`` is None)."""

    entry: ListEntry
    rule: str
    flag: Flag | None


class FlagsPanel(ListPanel):
    """What may be worth a second look, each with what reviewers said of it."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("flag-fair", "flag-unfair")
    ABOUT = (
        "Flags",
        "What may be worth a second look, with its evidence; it proves nothing. The gravest stand first; many of one "
        "rule are one row until Enter opens it. Say of each whether it was fair to ask: that lies beside the record, "
        "and 'steadfoot archive flags' says how often each rule is fair over all sessions. A later word takes the "
        "place of an earlier one.",
    )

    def __init__(self, session: ReviewedSession, flags: Sequence[Flag], start: int, judge: Judge) -> None:
        self._session, self._sum, self._judge = session, flag_sum(flags), judge
        self._unfolded: set[str] = set()
        self.rows = self._made()
        title = f"Worth a second look; it proves nothing: {self._sum.short}"
        super().__init__(title, [row.entry for row in self.rows], 0)

    def here(self) -> tuple[str, ...]:
        """Going there, and judging where there is a flag."""
        return (*self.HERE, "flag-fair", "flag-unfair") if self.rows else self.HERE

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Show the flags of a folded row; to the place of a flag goes the list's own answer to this."""
        row = self.rows[event.index] if event.index < len(self.rows) else None
        if row is None or row.flag is not None:
            return
        event.prevent_default().stop()
        self._unfolded.add(row.rule)
        self._again(event.index, "")

    def action_judge(self, fair: bool) -> None:
        """Say of the marked flag whether it is fair."""
        at = self.query_one(PickList).index
        flag = self.rows[at].flag if at < len(self.rows) else None
        if flag is not None:
            self._judge(flag, fair, lambda text: self._again(at, text))
        elif self.rows:
            self.say("Enter opens these; then each can be called fair or not.")

    def _again(self, at: int, text: str) -> None:
        self.rows = self._made()
        self.renew([row.entry for row in self.rows], at)
        self.say(text)

    def _made(self) -> list[FlagRow]:
        return flag_rows(self._session.replay, self._sum, self._session.judged, frozenset(self._unfolded))


def flag_rows(
    replay: Replay,
    found: FlagSum,
    judged: Mapping[tuple[str, int], JudgedFlag],
    unfolded: frozenset[str] = frozenset(),
) -> list[FlagRow]:
    """The rows, the gravest first, with the evidence of each and what was said of it last."""
    rows: list[FlagRow] = []
    for one in found.rules:
        rule = one.flags[0].rule
        if len(one.flags) > FOLDED and rule not in unfolded:
            rows.append(FlagRow(_folded(replay, one), rule, None))
        else:
            rows += [FlagRow(entry, rule, flag) for entry, flag in _entries(replay, one, judged)]
    return rows


def _folded(replay: Replay, one: RuleSum) -> ListEntry:
    first = one.flags[0]
    row = f"{first.gravity:<6} {first.kind:<8} {one.says}"
    return ListEntry(row, replay.place_of(first.seq), f"{one.says} Enter opens all {len(one.flags)}.")


def _entries(
    replay: Replay, one: RuleSum, judged: Mapping[tuple[str, int], JudgedFlag]
) -> list[tuple[ListEntry, Flag]]:
    times = row_times(replay, [flag.at for flag in one.flags])
    found, room = [], 9 if judged else 0
    for flag, time in zip(one.flags, times, strict=True):
        said = judged.get((flag.rule, flag.seq))
        word = _WORDS[said.fair] if said is not None else ""
        row = f"{flag.gravity:<6} {flag.kind:<8} {word:<{room}}{flag.says}"
        by = f" {said.by} called it {word}." if said is not None else ""
        where = f", {flag.where}" if flag.where else ""
        says = f"{flag.says} {flag.evidence} Event {flag.seq}, {time} {replay.zone.words}{where}.{by}"
        found.append((ListEntry(row, replay.place_of(flag.seq), says), flag))
    return found
