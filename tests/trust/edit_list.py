"""The list of edits, and how one is put on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.trust.edited_homes import EditedHome, Event

Act = Callable[[EditedHome], None]


@dataclass(frozen=True, slots=True)
class SessionEdit:
    """``group``: what is edited; ``says``: how, in a line."""

    group: str
    says: str
    act: Act


EDITS: list[SessionEdit] = []


def edit(group: str, says: str) -> Callable[[Act], Act]:
    """List an edit."""

    def listed(act: Act) -> Act:
        EDITS.append(SessionEdit(group, says, act))
        return act

    return listed


def changed(group: str, says: str, wanted: Callable[[Event], bool], change: Callable[[Event], Event | None],
            every: bool = False) -> None:  # fmt: skip
    """List an edit of the first event that is wanted, or of every one, with all seals made again."""

    def act(home: EditedHome) -> None:
        found = [0]

        def one(event: Event) -> Event | None:
            if not wanted(event) or (found[0] and not every):
                return event
            found[0] += 1
            return change(event)

        home.change(one)
        assert found[0], f"{says}: no event of that kind"

    EDITS.append(SessionEdit(group, says, act))


def kind(name: str, **more: object) -> Callable[[Event], bool]:
    """Events of a kind, with these values."""
    return lambda event: event["kind"] == name and all(event.get(key) == value for key, value in more.items())


def set_to(**values: object) -> Callable[[Event], Event]:
    """The event with other values."""
    return lambda event: {**event, **values}


def asked(**values: object) -> Callable[[Event], Event]:
    """The event with other values, and the command that it came of with those that it has of them."""
    return lambda event: {
        **event, **values, "asked": {**event["asked"], **{k: v for k, v in values.items() if k in event["asked"]}},
    }  # fmt: skip
