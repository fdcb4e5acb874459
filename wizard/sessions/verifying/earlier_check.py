"""Whether the session that one names as begun before it on the same computer is here, and still what it was then."""

from __future__ import annotations

from wizard.engine.messages.events import Began
from wizard.errors import SteadfootError
from wizard.journal.durable_io import load
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME
from wizard.journal.journal_verification import verify
from wizard.journal.sealed_block import CHAIN, CLOSE, SEAL, grouped


def earlier_check(home: Home, began: Began) -> tuple[str, str]:
    """What is wrong, and what is to be said; both empty where nothing is.

    One that isn't here is no fault: it may not have come from its computer yet. One that is here, whole by
    itself, and no longer has the seal that was its last when this one began was cut short or written anew since.
    """
    earlier = began.earlier
    if not earlier.session:
        return "", ""
    try:
        folder = home.session_folder(earlier.session)
        data = load(folder / NAME)
    except SteadfootError as problem:
        if earlier.session not in home.list_ids():
            return "", " ".join(away_words("It", earlier.session, earlier.seal))
        return "", f"It names the seal of {earlier.session}, which can't be read: {problem}"
    # Whether the seals in it hold its own verification tells; here one is looked for, at the end of any block.
    if earlier.seal and SEAL + CHAIN + earlier.seal.encode("utf-8") + CLOSE not in data:
        if not verify(folder / NAME).ok:
            return "", f"It names a seal of {earlier.session}, which is damaged: verify that one."
        return (
            f"It names the seal {grouped(earlier.seal)} of {earlier.session}, begun before it on the same computer. "
            "That session is here and has it in none of its events: one of the two was rewritten, or cut short."
        ), ""
    return "", ""


def away_words(who: str, session: str, seal: str) -> tuple[str, str]:
    """What is said of a session that ``who`` names and that isn't here, and why that may be."""
    which = f"the seal {grouped(seal)}" if seal else "no seal"
    return (
        f"{who} names {which} of a session that isn't here: {session}.",
        "That was begun before it on the same computer. It was removed, or has not come from there yet.",
    )
