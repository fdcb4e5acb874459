"""The flags of a session in a list: Enter goes to one's place, two keys say whether it is fair."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from textual.binding import BindingType

from wizard.review.flags.flag import Flag
from wizard.review.replay import Replay
from wizard.screens.layout import key_table
from wizard.screens.replay.replay_lists import ListEntry, ListPanel, row_times
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.screens.widgets.entry.picklist import PickList
from wizard.sessions.judged_flags import JudgedFlag

Judge = Callable[[Flag, bool, Callable[[str], None]], None]
"""Writes whether a flag is fair, and hands on what was done."""

_WORDS = {True: "fair", False: "not fair"}


class FlagsPanel(ListPanel):
    """What may be worth a second look, each with what reviewers said of it."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("flag-fair", "flag-unfair")
    ABOUT = (
        "Flags",
        "What may be worth a second look, with its evidence; it proves nothing. Say of each whether it was fair to "
        "ask: that lies beside the record, and 'steadfoot archive flags' says how often each rule is fair over all "
        "sessions. A later word takes the place of an earlier one.",
    )

    def __init__(self, session: ReviewedSession, flags: Sequence[Flag], start: int, judge: Judge) -> None:
        super().__init__(
            f"Worth a second look; it proves nothing. {session.replay.zone_words}",
            flag_entries(session.replay, flags, session.judged),
            start,
        )
        self._session, self._flags, self._judge = session, tuple(flags), judge

    def here(self) -> tuple[str, ...]:
        """Going there, and judging where there is a flag."""
        return (*self.HERE, "flag-fair", "flag-unfair") if self._flags else self.HERE

    def action_judge(self, fair: bool) -> None:
        """Say of the marked flag whether it is fair."""
        at = self.query_one(PickList).index
        if at < len(self._flags):
            self._judge(self._flags[at], fair, self._done)

    def _done(self, text: str) -> None:
        at = self.query_one(PickList).index
        self.renew(flag_entries(self._session.replay, self._flags, self._session.judged), at)
        self.say(text)


def flag_entries(
    replay: Replay, flags: Sequence[Flag], judged: Mapping[tuple[str, int], JudgedFlag] | None = None
) -> list[ListEntry]:
    """What may be worth a second look, with its evidence, and what was said of it last."""
    found, room = [], 9 if judged else 0
    times = row_times(replay, [flag.at for flag in flags])
    for flag, time in zip(flags, times, strict=True):
        said = (judged or {}).get((flag.rule, flag.seq))
        word = _WORDS[said.fair] if said is not None else ""
        row = f"{flag.seq:>4} {time} {word:<{room}}{flag.where or ''!s:<18} {flag.says}"
        by = f" {said.by} called it {word}." if said is not None else ""
        found.append(ListEntry(row, replay.place_of(flag.seq), f"{flag.says} {flag.evidence}{by}"))
    return found
