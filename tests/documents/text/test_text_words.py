"""Words of what is written: times, limits, outcomes, and why less is known."""

from datetime import timedelta, timezone

import pytest

from wizard.documents.text import formatting, limit_text, outcome_text, safety_text
from wizard.domain.vocabulary import JobOutcome, LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.state.job_state import BeliefChange
from wizard.flow.model import Band, Limit
from wizard.safety import WideningReason


def limit(*bands, unit="N", source="A rule", status="P"):
    """A limit of bands: each its verdict, the edge that it ends below (SI), and True where that belongs to it."""
    made = tuple(_band(f"b{n}", *b) for n, b in enumerate(bands))
    return Limit(id="x", says="X", unit=unit, bands=made, source=source, status=LimitStatus(status))


def _band(name, verdict, top=None, inclusive=False):
    edge = {} if top is None else {"up_to" if inclusive else "below": top}
    return Band(name, Verdict(verdict), **edge)


@pytest.mark.parametrize(
    ("bands", "said"),
    [
        ([("fail", 30.0), ("watch", 40.0), ("pass", 80.0, True), ("fail",)], "40 to 80 N"),
        ([("pass", 80.0, True), ("fail",)], "up to 80 N"),
        ([("pass", 80.0), ("fail",)], "below 80 N"),
        ([("fail", 80.0), ("pass",)], "80 N or more"),
        ([("fail", 80.0, True), ("pass",)], "over 80 N"),
        ([("pass",)], "any"),
        ([("watch", 80.0), ("fail",)], ""),
        ([("pass", 10.0), ("pass", 20.0), ("fail",)], "below 20 N"),
        ([("pass", 10.0), ("fail", 20.0), ("pass",)], "below 10 N or 20 N or more"),
    ],
)
def test_good_range_says_what_passes(bands, said):
    """Every shape of a limit in plain words; bands that pass side by side are one range."""
    assert limit_text.good_range(limit(*bands)) == said


def test_every_band_is_said():
    """The record says each band and to which side its edge belongs."""
    li = limit(("fail", 0.030), ("pass", 0.080, True), ("watch",), unit="mm")
    assert limit_text.bands(li) == "fail below 30 mm; pass up to 80 mm; watch above"


@pytest.mark.parametrize(("status", "said"), [("E", "A rule (estimate)"), ("S", "A rule (service sheet)")])
def test_source_has_its_status(status, said):
    """A limit says what it rests on."""
    assert limit_text.source(limit(("pass",), status=status)) == said


def test_status_is_not_said_twice():
    """A source that names its status already needs no brackets."""
    assert limit_text.source(limit(("pass",), source="Estimate: 3 N", status="E")) == "Estimate: 3 N"


def test_times_are_shown_in_the_zone_asked():
    """UTC inside; the technician's day and hour outside."""
    east = timezone(timedelta(hours=2))
    assert formatting.day("2026-03-31T23:30:00.000Z") == "31 March 2026"
    assert formatting.day("2026-03-31T23:30:00.000Z", east) == "1 April 2026"
    assert formatting.hour("2026-03-31T23:30:00.000Z", east) == "01:30"
    assert formatting.day("") == formatting.hour("") == ""


def test_values_are_honestly_rounded():
    """No more figures than the uncertainty carries; without a unit four."""
    assert limit_text.value(Judged("", 18.26, 3.1, 3), "N") == "18 ± 3 N"
    assert limit_text.value(Judged("", 0.123456, 0.0, 1), "") == "0.1235"


@pytest.mark.parametrize(
    ("outcome", "said"), [(None, "under way"), *((o, outcome_text.OUTCOMES[o]) for o in JobOutcome)]
)
def test_every_outcome_has_its_words(outcome, said):
    """A visit that isn't over yet has some too."""
    assert outcome_text.outcome_words(outcome) == said != ""


@pytest.mark.parametrize("why", WideningReason)
def test_every_reason_to_know_less_has_its_words(why):
    """None is shown as its id."""
    change = BeliefChange(1, "", EventKind.WIDENED, {}, widening=why)
    assert safety_text.cause_words(change) == safety_text.WIDENINGS[why] != str(why)


@pytest.mark.parametrize(
    ("text", "said"), [("Done", "Done."), ("Done!", "Done!"), ("", ""), (" Why? ", "Why?")]
)
def test_sentences_end(text, said):
    """A full stop where none was."""
    assert formatting.sentence(text) == said
