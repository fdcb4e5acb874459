"""The readings that spoke by a curve: as the ranking heard them, with what they were judged by; what is left out."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.helpers.drawn_sessions import session, shake
from tests.helpers.practice_jobs import FreeJob, faulty
from wizard.domain.vocabulary import FaultSeverity
from wizard.engine.measuring.sheet_limits import used_limit
from wizard.engine.state.job_state import changed
from wizard.engine.state.job_view import JobView
from wizard.journal.codec import from_table, to_table
from wizard.learning.curves.curve_numbers import curved_limits, limit_with, numbers_of
from wizard.learning.job.curve_readings import CurveReading, curve_readings
from wizard.learning.observation import Observation, readings_before_repair
from wizard.learning.session_memory import Remembered, SessionMemory

READING = CurveReading("rock", "", "feet", "rocks", "mm", 0.15, 0.03, 0.2)


@cache
def worn() -> JobView:
    """A front loader whose dampers are worn, each pulled on a scale."""
    job = FreeJob(faulty("front-loader", "dampers-worn", FaultSeverity.SEVERE, 3))
    job.go("dampers")
    return job.driver.session.view


def readings(view: JobView) -> dict[str, CurveReading]:
    return {r.finding: r for r in readings_before_repair(view)}


def test_of_like_parts_the_one_furthest_off_is_told_in_the_limits_unit() -> None:
    """The weakest pull for weak dampers, the strongest for stiff ones; the variant is that of the machine's facts."""
    view = worn()
    pulls: dict[tuple[int, int], list[float]] = {}
    for r in view.state.reading_records:
        if r.step in ("pull", "pull-below"):
            pulls.setdefault((r.item, r.way), []).append(r.value)
    means = [sum(one) / len(one) for one in pulls.values()]
    found = readings(view)
    low, high = found["damper-drag-low"], found["damper-drag-high"]
    assert (low.value, high.value) == pytest.approx((min(means), max(means)))
    assert (low.limit, low.unit, low.inspection) == ("damper-drag", "N", "dampers") and low.uncertainty > 0.0
    dampers = view.state.facts["dampers"]
    assert low.curve == ("damper-drag@2" if dampers == "2" else "damper-drag@3,4")


def test_evidence_is_what_the_answer_holds() -> None:
    """Of the step alone, before others are combined with it."""
    view = worn()
    held = {f: e for given in view.state.answer_records for f, e in given.evidence.items() if given.grades}
    found = readings(view)
    assert found and all(one.evidence == held[finding] for finding, one in found.items())


def test_what_can_not_be_told_again_is_left_out() -> None:
    """Another evidence in the answer, a number outside its range, a maker's sheet that judges instead."""
    view = worn()
    state = view.state
    assert "damper-drag-low" in readings(view)
    turned = tuple(
        replace(g, evidence={f: 1.0 - e for f, e in g.evidence.items()}) if g.grades else g
        for g in state.answer_records
    )
    assert not curve_readings(view, turned)
    wild = tuple(replace(r, value=900.0) for r in state.reading_records)
    assert not readings(view.at(changed(state, reading_records=wild)))
    own = next(li for li in shake().limits["damper-drag"] if "3" in li.applies["dampers"])
    other = next(li for li in shake().limits["damper-drag"] if "2" in li.applies["dampers"])
    sheet = tuple(used_limit(li) for li in (own, other))
    found = readings(view.at(changed(state, sheets=(("maker", "its sheet", sheet),))))
    assert "damper-drag-low" not in found


def test_an_observation_comes_back_from_its_row() -> None:
    """By the codec of the journal; with readings and without."""
    for some in ((), (READING,)):
        seen = replace(session(1, None, {"rocks": 0.2}), readings=some)
        assert from_table(Observation, to_table(seen)) == seen


@pytest.mark.parametrize(
    "wrong", [{"value": float("nan")}, {"uncertainty": -1.0}, {"evidence": 1.0}, {"value": "much"}]
)
def test_readings_that_are_none_are_not_remembered(tmp_path: Path, wrong: dict[str, float]) -> None:
    """The file of another, or of before there were readings: the sessions are read once more."""
    memory = SessionMemory(tmp_path / "observed.json", "1")
    seen = replace(session(1, None, {"rocks": 0.2}), readings=(READING,))
    kept = {"place": Remembered.of("digest", "flow", seen)}
    memory.keep(kept)
    assert memory.load() == kept
    text = memory.path.read_text(encoding="ascii")
    (key, value), right = *wrong.items(), getattr(READING, next(iter(wrong)))
    word = {"nan": "NaN"}.get(str(value), f'"{value}"' if isinstance(value, str) else str(value))
    memory.path.write_text(text.replace(f'"{key}": {right}', f'"{key}": {word}'), encoding="ascii")
    assert memory.path.read_text(encoding="ascii") != text and memory.load() == {}
    memory.path.write_text(text.replace('"format": 2', '"format": 1'), encoding="ascii")
    assert memory.load() == {}


def test_a_curve_is_named_by_its_limit_and_the_facts_it_is_for() -> None:
    """Each of the shake flow's once; a limit with its own numbers is itself."""
    curves = curved_limits(shake())
    assert {"rock", "damper-drag@2", "damper-drag@3,4", "tub-damping@top-hung,top-base"} <= set(curves)
    assert "damper-drag@not-known" not in curves and "slope" not in curves
    assert numbers_of(curves["tub-damping@front-loader"]) == {
        "usual": 0.4, "scatter": 0.055, "swings-on.mild": 0.25, "swings-on.moderate": 0.17, "swings-on.severe": 0.08,
    }  # fmt: skip
    for limit in curves.values():
        assert limit_with(limit, numbers_of(limit)) == limit
    changed_one = limit_with(curves["rock"], {"usual": 0.2, "rocks.mild": 0.9})
    assert changed_one.usual == pytest.approx(2e-4)
    assert numbers_of(changed_one) == {**numbers_of(curves["rock"]), "usual": 0.2, "rocks.mild": 0.9}
