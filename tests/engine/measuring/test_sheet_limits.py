"""The limits of a service sheet: into the journal, back from it, and judged by as before."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job, good
from wizard.engine.measuring.sheet_limits import limit_of_used, sheet_limits, used_limit
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import SheetUsed, from_dict, to_dict
from wizard.errors import JournalError
from wizard.flow.model import Limit

EVERY = [limit for limits in good().limits.values() for limit in limits]


@pytest.mark.parametrize("limit", EVERY, ids=lambda limit: f"{limit.id} {limit.says}")
def test_what_judges_comes_back(limit: Limit) -> None:
    """Bands, source and machines; what an edge rests on and how bad a fault reads are the flow's own."""
    back = limit_of_used(used_limit(limit))
    assert (back.id, back.says, back.unit, back.source, back.status) == (
        limit.id, limit.says, limit.unit, limit.source, limit.status,
    )  # fmt: skip
    assert {k: tuple(v) for k, v in back.applies.items()} == {k: tuple(v) for k, v in limit.applies.items()}
    assert [(b.id, b.verdict, b.below, b.up_to) for b in back.bands] == [
        (b.id, b.verdict, b.below, b.up_to) for b in limit.bands
    ]


def test_a_journal_has_it_as_plain_tables() -> None:
    """The keys that journals were written with from the first."""
    job = Job()
    limit = good().limits["damper-drag"][0]
    job.do(cmd.UseSheet("WX 200", "sheet 7", (limit,)))
    record = next(r for r in job.records if isinstance(r.event, SheetUsed))
    (table,) = to_dict(record)["limits"]
    assert list(table) == ["id", "says", "unit", "source", "status", "applies", "bands"]
    assert table["status"] == limit.status.value and type(table["status"]) is str
    assert [set(band) - {"top"} for band in table["bands"]] == [{"id", "verdict", "inclusive"}] * len(
        limit.bands
    )
    assert from_dict(to_dict(record)) == record
    assert sheet_limits(job.state) == tuple(map(limit_of_used, record.event.limits))


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("status", "Z", "status' is 'Z', none of"),
        ("unit", 3, "unit' is 3, not text"),
        ("bands", [{}], "is missing"),
    ],
)
def test_what_no_sheet_has_is_a_damaged_journal(key: str, value: object, says: str) -> None:
    """It is said where the journal is read, not where a reading is judged."""
    event = SheetUsed(model="M", source="7", limits=(used_limit(EVERY[0]),))
    job = Job()
    table = to_dict(type(job.records[0])(1, job.records[0].at, 0.0, event))
    broken = {**table, "limits": [{**table["limits"][0], key: value}]}
    with pytest.raises(JournalError, match=says):
        from_dict(broken)
