"""What both rooms say of an act, the full screen and the line mode: each sentence stands here once."""

from __future__ import annotations

ABOUT_FACTS = (
    "These facts decide which inspections apply and by which limits readings are judged. Look at the plate and the "
    "maker's sheet."
)
ABOUT_COMPLAINT = (
    "Write it as it is said, not as you would put it: when it shakes, since when, what was done before. It stands "
    "first in the record and in the summary."
)
ABOUT_NOTE = "Write what the next reader should know. It stands in the record at this step, with the time."
NOTHING_WRITTEN = "Nothing is written yet."

WHAT_PHOTO = "What does it show?"
CAPTION = "The caption may stay empty."

WHY_STOP = "Stop work: why?"

NONE_TO_CORRECT = "Nothing was answered yet that could be corrected."
ASKED_AGAIN = "What it established is asked again where it is needed."
RIGHT_FIRST = "Type what is right first."
SAY_WHY = "Say why, in a few words."

NONE_BEFORE_DONE = "Not everything before it is done."
BY_FLOW = "Nothing is advised now: Enter follows the flow's order."
NO_ADVICE = "Nothing is advised now: advice is for the search, until what it is was decided."
NO_FAULT_FITS = "No fault of this flow fits this machine, or its kind is not known yet."

READING_FIRST = "Type the reading first."
VOLTAGE_FIRST = "Type the voltage first."
UNSIGNED_VOLTAGE = "Type the voltage without a sign."

BAD_SHEET = "This sheet can't be used"
WHICH_SHEET = "Say which sheet it is: its number, or where it was read."

SWINGS = "A recording of the tub's swings"
TWO_TAPS = "two times at least: at the top of one swing and of the next."
STAYS = "it stays at what was read."

SHEET_LIMITS = "Limits of a service sheet"
WHERE_READ = "Its number and page, or where it was read."

MACHINE_STANDS = "How the machine stands"
CORRECTING = "Correct an earlier answer"
IN_RECORD = "A few words; they stand in the record."
RECORD_SEAL = "Seal of the record"
ONLY_INSPECTION = "Only an inspection can be left out"
NONE_LISTED = "Nothing is on the list."

NOT_FOLLOWED = "What it holds can't be followed."


def too_early_line(unread: float) -> str:
    """What is said where a line of a stop is taken before it can have been read; ``unread`` in s."""
    return f"Read it first, and do it: it is taken in {unread} s."
