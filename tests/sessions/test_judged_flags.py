"""What reviewers say of flags, beside the journal: every word kept, the last one stands."""

import pytest

from wizard.errors import JournalError, UsageError
from wizard.sessions.judged_flags import NAME, JudgedFlag, judge, load, parse, standing

ONE = JudgedFlag("C. Marsh", "2026-03-02T09:00:00Z", "step-quick", 9, True, 0.25)


def test_words_are_kept_and_the_last_stands(tmp_path):
    """Of each rule and event; without a measure none is written."""
    other = JudgedFlag("S. Ash", "2026-03-03T09:00:00Z", "step-quick", 9, False)
    assert load(tmp_path) == ()
    assert judge(tmp_path, ONE) == (ONE,) and judge(tmp_path, other) == (ONE, other) == load(tmp_path)
    assert standing(load(tmp_path)) == {("step-quick", 9): other}
    assert b"measure" in (tmp_path / NAME).read_bytes()


def test_nobody_judges_without_a_name(tmp_path):
    """And nothing is written."""
    with pytest.raises(UsageError, match="is named"):
        judge(tmp_path, JudgedFlag(" ", "", "step-quick", 9, True))
    assert not (tmp_path / NAME).exists()


@pytest.mark.parametrize(
    "data",
    [b"\xff", b"no = [", b"format = 2\n", b"format = 1\nother = 2\n", b"format = 1\njudged = 3\n",
     b"format = 1\njudged = [1]\n", b'format = 1\n[[judged]]\nby = "x"\n',
     b'format = 1\n[[judged]]\nby = "x"\nat = ""\nrule = "r"\nevent = "9"\nfair = true\n'],
)  # fmt: skip
def test_what_is_none_is_said(data):
    """With what to do about it."""
    with pytest.raises(JournalError, match=r"Mend it|Its keys are"):
        parse(data)
