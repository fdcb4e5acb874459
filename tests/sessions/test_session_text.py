"""``session show``: what was noted and photographed, what was not done and why, and what reviewers wrote beside
it.
"""

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.cli import session_text
from wizard.domain.references import Target
from wizard.domain.vocabulary import SkipHow
from wizard.sessions.sign_off import ReviewNote, Ruling, SignOff, add_note, load, sign


def test_notes_photos_and_the_review_are_told(tmp_path):
    """A note and a photo of the job; a reviewer's note with its event, and a sign-off that still covers the
    record.
    """
    store = home_at(tmp_path)
    folder, found = store.home.session_folder(SESSION), store.load(SESSION)
    add_note(folder, ReviewNote("A. Reed", "2026-03-03T08:00:00+00:00", "Which floor?", 3))
    count, at = len(found.records), "2026-03-03T08:05:00+00:00"
    sign(folder, SignOff("A. Reed", at, found.chain, count, "Seen.", Ruling.RETURN))
    lines = list(session_text.lines_of(found, load(folder)))
    at = lines.index("Notes and photos")
    assert lines[at + 1].endswith("The plug (" + found.state.notes[0].name + ")")
    assert lines[at + 2].endswith("The floor is wet.")
    at = lines.index("Reviewed")
    assert lines[at + 1] == "  1  Note at event 3, A. Reed, 3 March 2026: Which floor?"
    assert lines[at + 2 : at + 4] == [
        "     Waits for an answer.", "  2  Signed off by A. Reed, returned, 3 March 2026: Seen.",
    ]  # fmt: skip


def test_what_was_left_out_has_its_reason(tmp_path):
    """An inspection that was skipped stands with its title and why."""
    from dataclasses import replace

    store = home_at(tmp_path)
    found = store.load(SESSION)
    skipped = {"motor": (SkipHow.SKIPPED, "No time.")}
    again = {Target("dampers", "pull"): "No scale."}
    state = replace(found.state, skipped=skipped, unmeasured=again)
    lines = list(session_text.lines_of(replace(found, state=state), load(tmp_path)))
    at = lines.index("Not done")
    assert lines[at + 1 : at + 3] == ["  Motor wiring: No time.", "  measured again, Dampers: No scale."]
