"""What a flow's files hold is read, written and read again as the same."""

from __future__ import annotations

from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.flows.flow_folders import GOOD, good
from wizard.flow.declaring.declaration_fields import keys_of
from wizard.flow.declaring.decode import decode
from wizard.flow.form.form_validation import validate
from wizard.flow.loading.flow_loader import load, load_files
from wizard.flow.model import Band, Limit, LimitStatus, Tool, Verdict
from wizard.flow.model.file_kinds import FILES
from wizard.flow.parsing.encode import encode, encode_inspection
from wizard.flow.parsing.flow_files import decode as text_of
from wizard.flow.parsing.flow_files import has_steps, kind_of, parse
from wizard.measure.quantities.unit_table import UNITS

TOML = sorted(n for n in good() if kind_of(n) in FILES)


@pytest.mark.parametrize("name", [n for n in TOML if not has_steps(n)])
def test_a_file_is_written_as_it_is_read(name: str) -> None:
    """Its model, written and read again, is the same, and what is written has the form of its kind."""
    kind = FILES[kind_of(name)]
    model = decode(kind, parse(text_of(good()[name])))
    written = encode(model)
    assert validate(kind_of(name), written).faults == ()
    assert decode(kind, parse(tomli_w.dumps(written))) == model


@pytest.mark.parametrize("name", [n for n in TOML if has_steps(n)])
def test_an_inspection_is_written_as_it_is_read(name: str) -> None:
    """A flow in which the file is written anew is the same flow but for its digest."""
    flow = load(GOOD)
    inspection = next(
        i
        for i in flow.inspections.values()
        if name.endswith(f"/{i.id}.toml") and i.procedure == ("library" in name)
    )
    again = load_files(good(**{name: tomli_w.dumps(encode_inspection(inspection)).encode()}))
    assert again.inspections == flow.inspections


def test_what_is_usual_is_left_out() -> None:
    """Nothing stands in a file that would be so without it: no next to the next step, no yes that does nothing."""
    hoses = load(GOOD).inspections["hoses"]
    (step,) = encode_inspection(hoses)["step"]
    assert step == {
        "id": "tissue",
        "kind": "look",
        "do": "Hold a dry tissue to each joint. Does it stay dry?",
        "reach": "wet",
        "answer": [{"id": "yes", "verdict": "pass", "usual": True}, {"id": "no", "verdict": "fail"}],
    }


NUMBERS = st.floats(-1e6, 1e6).map(lambda x: float(f"{x:.6g}"))


@settings(max_examples=examples(200), deadline=None)
@given(edge=NUMBERS, unit=st.sampled_from([unit.symbol for unit in UNITS]))
def test_numbers_come_back_in_their_unit(edge: float, unit: str) -> None:
    """What is written in a unit of six figures is read as SI and written again with the same figures."""
    limit = {
        "id": "a",
        "says": "A",
        "unit": unit,
        "source": "Invented",
        "status": "E",
        "band": [{"id": "low", "verdict": "pass", "below": edge}, {"id": "high", "verdict": "fail"}],
    }
    again = encode(decode(Limit, limit))
    assert again["band"][0]["below"] == pytest.approx(edge, rel=1e-11, abs=1e-9)


def test_a_difference_has_no_offset() -> None:
    """1 degC of resolution is 1 K, though 1 degC on a scale is 274.15 K (SI Brochure, 9th edition, 2.3.1)."""
    tool = {"id": "t", "says": "T", "unit": "degC", "resolution": 1.0, "uncertainty": 0.5}
    assert decode(Tool, tool) == Tool("t", "T", "degC", 1.0, 0.5)
    limit = decode(
        Limit,
        {
            "id": "a",
            "says": "A",
            "unit": "degC",
            "source": "Invented",
            "status": "P*",
            "band": [{"id": "low", "verdict": "pass", "up_to": 1.0}, {"id": "high", "verdict": "fail"}],
        },
    )
    assert limit.bands == (Band("low", Verdict.PASS, up_to=274.15), Band("high", Verdict.FAIL))
    assert (limit.bands[0].top, limit.bands[0].inclusive, limit.bands[1].top) == (274.15, True, None)
    assert limit.status is LimitStatus.RECALLED


def tables(table: type) -> list[type]:
    """A declared table and those in it."""
    from wizard.flow.declaring.declaration_fields import element, tables_of

    below = [inner for f in keys_of(table) for inner in tables_of(element(f.kind))]
    return [table, *(t for inner in below for t in tables(inner))]


@pytest.mark.parametrize("kind", FILES)
def test_every_key_says_what_it_is_for(kind: str) -> None:
    """No key without words, none twice in a table, and none whose default the form of its file would refuse."""
    for table in tables(FILES[kind]):
        fields = keys_of(table)
        assert all(field.says for field in fields)
        assert len({field.key for field in fields}) == len(fields)


def test_the_reader_takes_what_the_check_lets_through() -> None:
    """Every file of the good flow that has the form of its kind can be read without one more test of it."""
    for name in TOML:
        values: dict[str, Any] = parse(text_of(good()[name]))
        assert validate(kind_of(name), values).faults == ()
        decode(FILES[kind_of(name)], values)
