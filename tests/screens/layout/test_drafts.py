"""What was typed for a step that could not take it."""

from types import SimpleNamespace

from wizard.screens.layout.drafts import Drafts

NOTHING = SimpleNamespace(drafts={})


def test_a_text_is_given_back_once():
    """From then on it is in the field."""
    drafts = Drafts()
    drafts.keep(1, "pull", "57")
    assert drafts.find(NOTHING, 1, "pull") == "57" and drafts.find(NOTHING, 1, "bounce") == ""
    assert drafts.use(NOTHING, 1, "pull") == "57" and drafts.use(NOTHING, 1, "pull") == ""


def test_one_that_lies_in_the_journal_is_given_back_too_and_once():
    """It is there after a crash."""
    drafts, state = Drafts(), SimpleNamespace(drafts={"1/pull": "60"})
    assert drafts.use(state, 1, "pull") == "60" and drafts.find(state, 1, "pull") == ""


def test_blanks_are_no_draft_and_a_step_that_took_something_keeps_none():
    """Nothing is put into a field for either."""
    drafts = Drafts()
    drafts.keep(1, "pull", "  ")
    assert drafts.find(NOTHING, 1, "pull") == ""
    drafts.keep(1, "pull", "57")
    drafts.settle(1, "pull")
    assert drafts.find(NOTHING, 1, "pull") == ""
