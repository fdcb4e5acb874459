"""Flags judged by reviewers: how often each rule is fair, and the stricter threshold that keeps all that were."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import store_at
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.bringing_up import bring_up
from wizard.archive.trends.flag_rates import LEAST, flag_rates, propose
from wizard.archive.trends.rate_interval import wilson
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.flag_measures import HELD
from wizard.review.flags.thresholds import shipped
from wizard.sessions.judged_flags import JudgedFlag, judge

FAIR = [(True, value) for value in (0.05, 0.10, 0.12, 0.15, 0.02)]
UNFAIR = [(False, value) for value in (0.25, 0.27, 0.29, 0.22)]


def test_a_stricter_threshold_lies_between_the_fair_and_the_others():
    """Steps under .30 of their minutes: those up to .15 were fair, those from .22 not: half way is .185, roughly."""
    found, why = propose(FlagId.STEP_QUICK, [*FAIR, *UNFAIR], shipped())
    assert why == "" and found.now == 0.3 and found.proposed == 0.2
    assert (found.key, found.kept, found.dropped) == ("share", 5, 4)
    # None of five lost: the exact upper limit of Clopper and Pearson, one-sided.
    assert found.lost == pytest.approx(stats.beta.ppf(0.95, 1, 5))


def test_where_more_is_stricter_it_lies_above():
    """Readings all the same, from 4 on: six and eight were fair, four and five not. A count stays whole."""
    said = [(True, 6.0), (True, 8.0), (True, 6.0), *[(False, 4.0)] * 4, (False, 5.0)]
    found, _why = propose(FlagId.READINGS_SAME, said, shipped())
    assert (found.proposed, found.kept, found.dropped) == (6.0, 3, 5)


@pytest.mark.parametrize(
    ("rule", "said", "why"),
    [
        (FlagId.STEP_QUICK, [*FAIR, *UNFAIR][: LEAST - 1], "1 more must be judged"),
        (FlagId.STEP_QUICK, UNFAIR * 3, "none was fair"),
        (FlagId.STEP_QUICK, [*FAIR, *UNFAIR, (True, 0.29)], "lie among the fair"),
        (FlagId.STEP_QUICK, [(True, 0.1)] * 9, "lie among the fair"),
        (FlagId.STORED_QUICK, [(False, 1.0)] * 20, "no number that is moved so"),
        (FlagId.ASKED_QUICK, [(False, 1.0)] * 20, "no number that is moved so"),
        (FlagId.SEARCH_OPEN, [(False, None)] * 20, "no number that is moved so"),
        (FlagId.LATE_EDIT, [(False, None)] * 20, "8 more must be judged"),
        (FlagId.STEP_QUICK, [(False, 0.5)] * 20, "8 more must be judged"),
    ],
)
def test_where_nothing_can_be_proposed_it_is_said_why(rule, said, why):
    """Few judged; all of one kind; mixed; what safety rests on; no number; judged by another threshold of before."""
    found, says = propose(rule, said, shipped())
    assert found is None and why in says


@given(st.lists(st.tuples(st.booleans(), st.floats(0.0, 0.2999)), max_size=30))
def test_whatever_was_said_no_fair_one_is_dropped(said):
    """And the threshold is a stricter one."""
    found, _why = propose(FlagId.STEP_QUICK, said, shipped())
    if found is not None:
        assert 0 <= found.proposed < found.now
        assert all(value < found.proposed for fair, value in said if fair)
        assert found.dropped == sum(value >= found.proposed for fair, value in said if not fair) > 0


def test_every_number_that_is_moved_is_one_of_its_rule():
    """The key stands in the rule's table."""
    for rule, held in HELD.items():
        assert shipped().number(rule, held.key) > 0


def test_what_was_said_of_sessions_is_counted_once_a_flag(tmp_path):
    """The last word on each; a rule that isn't there any more, and a file that is none, count as nothing."""
    store = store_at(indexed_home(tmp_path / "home"))
    names = store.home.list_ids()
    for n, name in enumerate(names[:6]):
        folder = store.home.session_folder(name)
        judge(folder, JudgedFlag("C. Marsh", "2026-03-04T08:00:00Z", "step-quick", 9, False, 0.25))
        judge(
            folder,
            JudgedFlag("C. Marsh", "2026-03-05T08:00:00Z", "step-quick", 9, n < 4, 0.1 if n < 4 else 0.25),
        )
        judge(folder, JudgedFlag("C. Marsh", "2026-03-05T08:00:00Z", "gone-rule", 9, True))
    (store.home.session_folder(names[7]) / "judged-flags.toml").write_bytes(b"no = [")
    with ArchiveIndex.open(store.root) as index:
        bring_up(index, store, processes=1)
        found = {rate.rule: rate for rate in flag_rates(index, shipped())}
        one = found[FlagId.STEP_QUICK]
        assert (one.fair, one.judged) == (4, 6) and (one.low, one.high) == wilson(4, 6)
        assert sum(rate.judged for rate in found.values()) == 6 and set(found) == set(FlagId)
        judge(
            store.home.session_folder(names[0]),
            JudgedFlag("S. Ash", "2026-03-06T08:00:00Z", "step-quick", 9, False),
        )
        bring_up(index, store, processes=1)
        assert {r.rule: r.fair for r in flag_rates(index, shipped())}[FlagId.STEP_QUICK] == 3
