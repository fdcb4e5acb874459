"""Flags as a whole: every rule has its table, its words are fair, thresholds may be a shop's own."""

import re

import pytest
from hypothesis import given, settings

from tests.helpers.paced_jobs import Paced, closed, mended, weak
from tests.helpers.wandering_jobs import Watched, moves, wander
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.errors import UsageError
from wizard.review.flags import thresholds
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.flag_rules import RULES, flags
from wizard.review.flags.flag_sorts import SORTS, rules_of, sort_letters, sort_words
from wizard.review.flags.flag_sum import flag_sum
from wizard.review.replay import Replay

ACCUSING = re.compile(
    r"\b(fake|faked|forge[ds]?|cheat|lied?|lying|false|fraud|suspicious|invent|guilty|careless|lazy|sloppy|"
    r"tamper|negligent|dishonest|skipped on purpose|should have|failed to|neglect)\b",
    re.IGNORECASE,
)


def test_every_rule_has_its_table():
    """flags.toml and the rules name the same things."""
    assert set(RULES) == set(thresholds.shipped().rules)


def test_careful_job_raises_nothing():
    """A job at its pace, with readings as hands give them, has nothing to look at."""
    job = weak(Paced())
    mended(job)
    job.until(NextKind.RECHECK)
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    job.read_each("59", "61", "60", "62")
    job.judge()
    job.rest()
    closed(job)
    assert flags(Replay(job.flow, job.records)) == ()


def test_rule_turned_off_is_not_looked_for():
    job = Paced(pace=5.0)
    job.through("quick")
    replay = Replay(job.flow, job.records)
    off = thresholds.merge({"step-quick": {"on": False}}, "flags.toml")
    assert any(f.rule == "step-quick" for f in flags(replay))
    assert not any(f.rule == "step-quick" for f in flags(replay, off))


@given(moves)
@settings(max_examples=40, deadline=None)
def test_random_jobs_break_no_rule_and_nobody_is_accused(made):
    """Whatever the engine allowed is by its rules; flags come in order, with a place, a time and fair words."""
    job = Watched()
    wander(job, made)
    found = flags(Replay(job.flow, job.records))
    assert [f for f in found if f.rule == "against-rules"] == []
    assert [f.seq for f in found] == sorted(f.seq for f in found)
    for flag in found:
        assert 1 <= flag.seq <= len(job.records)
        assert flag.at == job.records[flag.seq - 1].at
        assert flag.says.endswith(".") and flag.evidence.endswith(".")
        assert not ACCUSING.search(f"{flag.says} {flag.evidence}")


def test_no_word_of_a_flow_is_in_the_rules():
    """The rules are about any flow: no inspection, fault or finding of the shipped one is named in them."""
    from pathlib import Path

    import wizard.review.flags.flag_rules as module
    from wizard.flow.loading.flow_loader import load
    from wizard.flow.loading.shipped_flows import shipped

    package = Path(module.__file__).parent
    code = "".join(p.read_text(encoding="utf-8") for p in package.glob("*_flags.py"))
    kinds = {"tell", "look", "choose", "measure", "compute"}
    quoted = set(re.findall(r"[\"']([a-z0-9-]+)[\"']", code)) - kinds
    for folder in shipped().values():
        flow = load(folder, lambda digest: True)
        assert not quoted & {*flow.inspections, *flow.faults, *flow.findings, *flow.limits, *flow.tools}


def written(tmp_path, text):
    (tmp_path / thresholds.NAME).write_text(text, encoding="utf-8")
    return tmp_path


def test_home_without_a_file_has_the_shipped_thresholds(tmp_path):
    assert thresholds.load(tmp_path) is thresholds.shipped()


def test_shop_overrides_one_number(tmp_path):
    own = thresholds.load(written(tmp_path, "[stored-quick]\nminutes = 90\n"))
    assert own.number("stored-quick", "minutes") == 90
    assert own.on("stored-quick") and own.number("step-quick", "share") == 0.30


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[stored-quik]\nminutes = 9\n", "there is no flag 'stored-quik'. Did you mean 'stored-quick'?"),
        ("[stored-quick]\nminute = 9\n", "[stored-quick] has no key 'minute'. Did you mean 'minutes'?"),
        ('[stored-quick]\nminutes = "9"\n', "[stored-quick] minutes must be a number, not '9'."),
        ("[stored-quick]\nminutes = -1\n", "must be between 0 and 1000000, not -1."),
        ("[stored-quick]\nminutes = nan\n", "must be a number, not nan."),
        ("[stored-quick]\nminutes = true\n", "must be a number, not True."),
        ("[stored-quick]\non = 1\n", "[stored-quick] on must be true or false, not 1."),
        ("stored-quick = 3\n", "stored-quick must be a table"),
        ("[stored-quick\n", "this is not TOML in UTF-8"),
    ],
)
def test_file_that_does_not_fit_is_refused_in_words(tmp_path, text, says):
    """Where, what and how to mend it."""
    with pytest.raises(UsageError) as caught:
        thresholds.load(written(tmp_path, text))
    assert says in str(caught.value) and "flags.toml" in str(caught.value)


def test_file_in_another_encoding_is_refused(tmp_path):
    (tmp_path / thresholds.NAME).write_bytes("# größer\n".encode("latin-1"))
    with pytest.raises(UsageError, match="not TOML in UTF-8"):
        thresholds.load(tmp_path)


def test_a_file_that_can_not_be_read_is_said(tmp_path):
    """A folder of that name."""
    (tmp_path / thresholds.NAME).mkdir()
    with pytest.raises(UsageError, match="can't be read"):
        thresholds.load(tmp_path)


@pytest.mark.parametrize("minutes", ["0", "0.5", "1000000"])
def test_a_number_may_be_anything_from_none_to_a_million(tmp_path, minutes):
    own = thresholds.load(written(tmp_path, f"[stored-quick]\nminutes = {minutes}\n"))
    assert own.number("stored-quick", "minutes") == float(minutes)


@pytest.mark.parametrize("minutes", ["1000000.5", "1000001", "-0.5"])
def test_a_number_beyond_that_is_refused(tmp_path, minutes):
    with pytest.raises(UsageError, match="between 0 and 1000000"):
        thresholds.load(written(tmp_path, f"[stored-quick]\nminutes = {minutes}\n"))


@pytest.mark.parametrize("on", [True, False])
def test_a_rule_is_turned_on_and_off(tmp_path, on):
    own = thresholds.load(written(tmp_path, f"[stored-quick]\non = {str(on).lower()}\n"))
    assert own.on("stored-quick") is on


def test_a_look_that_breaks_is_said_and_the_others_go_on(monkeypatch):
    """As over a journal that nobody's program wrote."""

    def broken(_look):
        yield from ()
        raise ValueError("no such thing")

    job = Paced(pace=5.0)
    job.through("quick")
    monkeypatch.setitem(RULES, "stored-quick", broken)
    found = flags(Replay(job.flow, job.records))
    assert [f.rule for f in found] == ["step-quick", "against-rules"]
    assert found[1].says == "A look could not be made." and found[1].evidence.startswith("stored-quick: ")
    assert found[1].seq == job.records[-1].seq


def test_what_the_rules_look_at_is_found_by_its_number():
    job = Paced()
    look = FlagContext(Replay(job.flow, job.records), thresholds.shipped())
    assert [look.record(r.seq) for r in job.records] == job.records
    assert look.record(0) is None and look.record(len(job.records) + 1) is None
    assert look.flag("step-quick", "Says.", "Evidence.", 999).at == ""
    assert look.title("dampers") == job.flow.inspections["dampers"].title


def test_every_rule_has_a_kind_and_a_gravity():
    """And so has no other; the words of a session say each kind once, with its gravest."""
    assert set(SORTS) == set(FlagId)
    assert (
        sort_words((FlagId.STEP_QUICK, FlagId.CLOCK_BACK, FlagId.NO_PROVING))
        == "evidence (high), habit (low)"
    )
    assert sort_words(()) == "" and sort_letters((FlagId.STORED_QUICK, FlagId.STEP_QUICK)) == "Sh"
    assert rules_of("safety") == rules_of("safety", "high") and FlagId.STEP_QUICK in rules_of("", "low")
    assert rules_of("money", "low") == ()


def test_a_roll_up_has_a_row_a_rule_the_gravest_first():
    """Forty flags of habit hide none of safety: that stands first, whatever its place in the session."""
    many = [Flag(FlagId.STEP_QUICK, f"Step {n}.", "E.", n, None, "") for n in range(40)]
    grave = Flag(FlagId.STORED_QUICK, "Soon.", "E.", 99, None, "")
    found = flag_sum([*many, grave])
    assert [one.flags[0].rule for one in found.rules] == [FlagId.STORED_QUICK, FlagId.STEP_QUICK]
    assert found.rules[1].says == "40 times; first: Step 0." and found.rules[0].says == "Soon."
    assert (found.count, found.words) == (41, "1 safety (high), 40 habit (low)")
    assert flag_sum(()).words == ""
