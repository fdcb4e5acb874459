"""A threshold taken into a shop's file and taken back: comments stay, the file of before is had back whole."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.errors import JournalError, UsageError
from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import read_toml
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.threshold_taking import TAKEN, take, taken, undo, with_number
from wizard.review.flags.thresholds import NAME, load, merge, shipped

AT = "2026-03-02T09:00:00+00:00"
TEXTS = (
    None,
    "[step-quick]\nshare = 0.25  # ours\n",
    "# Ours\n\n[step-quick] # quick\nleast-minutes = 2\n\n[late-edit]\nminutes = 20",
    "[late-edit]\r\nminutes = 20\r\n",
    "[ step-quick ]\non = true\nshare=1e-1",
)


@pytest.mark.parametrize("text", TEXTS)
def test_it_is_read_by_and_taken_back_whole(tmp_path, text):
    """The number is the shop's, all else as it was; undone, each byte is that of before, or no file is there."""
    path = tmp_path / NAME
    if text is not None:
        path.write_bytes(text.encode())
    before = load(tmp_path)
    done = take(tmp_path, FlagId.STEP_QUICK, "share", 0.185, AT)
    assert (done.was, done.now) == (before.number(FlagId.STEP_QUICK, "share"), 0.185)
    after = load(tmp_path)
    assert after.number(FlagId.STEP_QUICK, "share") == 0.185
    assert {r: t for r, t in after.rules.items() if r != "step-quick"} == {
        r: t for r, t in before.rules.items() if r != "step-quick"
    }
    assert all(line in path.read_text() for line in (text or "").splitlines() if "share" not in line)
    take(tmp_path, FlagId.LATE_EDIT, "minutes", 45, AT)
    assert load(tmp_path).number(FlagId.LATE_EDIT, "minutes") == 45 and len(taken(tmp_path)) == 2
    assert undo(tmp_path).rule == "late-edit" and undo(tmp_path).rule == "step-quick"
    assert (path.read_bytes() if path.exists() else None) == (text.encode() if text is not None else None)
    assert not (tmp_path / TAKEN).exists()
    with pytest.raises(UsageError, match="none can be taken back"):
        undo(tmp_path)


def test_what_was_changed_since_is_not_written_over(tmp_path):
    """It is said what to write by hand."""
    take(tmp_path, FlagId.STEP_QUICK, "share", 0.2, AT)
    path = tmp_path / NAME
    path.write_text(path.read_text() + "\n[late-edit]\nminutes = 9\n", encoding="utf-8")
    with pytest.raises(
        UsageError, match=r"changed since step-quick share .* Write 0\.3 there yourself, .* 0\.2"
    ):
        undo(tmp_path)
    assert "minutes = 9" in path.read_text()


@pytest.mark.parametrize(
    "text", ["step-quick = { share = 0.2 }\n", "step-quick.share = 0.2\n", '["step-quick"]\nshare = 0.2\n']
)
def test_another_form_is_left_as_it_is(tmp_path, text):
    """What can't be edited line by line is said, and nothing is written."""
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    with pytest.raises(
        UsageError, match=r"in a form that this command doesn't change\. Write share = 0\.1 there"
    ):
        take(tmp_path, FlagId.STEP_QUICK, "share", 0.1, AT)
    assert (tmp_path / NAME).read_text(encoding="utf-8") == text and not (tmp_path / TAKEN).exists()


def test_killed_between_the_two_files_it_is_taken_back_all_the_same(tmp_path):
    """The record is written first: the thresholds are still those of before."""
    take(tmp_path, FlagId.STEP_QUICK, "share", 0.2, AT)
    (tmp_path / NAME).unlink()
    assert undo(tmp_path).rule == "step-quick" and taken(tmp_path) == () and not (tmp_path / NAME).exists()


@pytest.mark.parametrize(
    "data", [b"no = [", b"format = 2\n", b"format = 1\ntaken = [1]\n", b"format = 1\n[[taken]]\nrule = 1\n"]
)
def test_a_record_that_is_none_is_said(tmp_path, data):
    """The thresholds stay."""
    (tmp_path / TAKEN).write_bytes(data)
    with pytest.raises(JournalError, match="Remove it: the thresholds stay"):
        taken(tmp_path)


LINES = ("", "# words", "[late-edit]", "[step-quick]", "share = 0.2", "minutes = 3", "on = true")


@given(
    st.lists(st.sampled_from(LINES), max_size=9),
    st.floats(0.001, 0.999),
)
@settings(max_examples=examples(60), deadline=None)
def test_any_lines_are_edited_rightly_or_not_at_all(lines, value):
    """What comes out is the same table with the one number, or no thresholds, which taking refuses."""
    text = "\n".join(lines)
    try:
        wanted = {r: dict(t) for r, t in merge(read_toml(text.encode(), Source.FLAGS), "f").rules.items()}
    except (ValueError, UsageError):
        return
    wanted["step-quick"]["share"] = value
    made = with_number(text, FlagId.STEP_QUICK, "share", value).encode()
    assert merge(read_toml(made, Source.FLAGS), "f").rules == wanted
    assert shipped().number(FlagId.STEP_QUICK, "share") == 0.3
