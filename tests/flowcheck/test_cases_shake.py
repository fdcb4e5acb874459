"""The cases of the shaking washer: what they are about, beyond what holds for the cases of every flow."""

from __future__ import annotations

from tests.helpers.flows.shipped_cases import shipped


def test_the_fault_that_a_case_hides_is_ranked_first() -> None:
    """At the decision the fault that a case expects on top leads; all but old hoses, which shake nothing, have
    one.
    """
    found = shipped("washer-shake")
    wanted = {c.id: c.expect.top for c in found.cases if c.expect.top}
    assert {r.case: r.top for r in found.played if r.case in wanted} == wanted
    assert {f for f, fault in found.flow.faults.items() if any(fault.share.values())} - set(
        wanted.values()
    ) <= {"hoses"}


def test_hands_are_in_the_drum_only_of_a_machine_that_was_tried() -> None:
    """In every case: the plug was pulled and the start tried before the first step at the drum or further in."""
    inside = {"drum", "inside", "terminals", "lift", "cabinet", "under"}
    found = shipped("washer-shake")
    for job in found.played:
        names = [str(p.step) for p in job.path]
        first = next((n for n, p in enumerate(job.path) if p.reach in inside), None)
        if first is not None:
            assert {"power.plug", "power.try"} <= set(names[:first]) or "power.cut" in names[:first], job.case
    assert sum(p.reach in inside for job in found.played for p in job.path) > 5_000


def test_a_damper_that_stays_unhooked_is_hooked_on_before_a_spin() -> None:
    """Whatever is said of other parts since: what was taken off is put on by a step of its own."""
    path = [f"{p.step!s}:{p.text}" for p in shipped("washer-shake").job("unhooked").path]
    off = path.index("dampers.refit:no")
    assert path.index("hooking.hook:on", off) < path.index("proving-spin.slow:quiet", off)


def test_after_declined_nothing_is_proved_and_what_forbids_use_keeps_it_out_of_use() -> None:
    """No repair, no proof: only what is owed to the customer is asked. A cracked spider is never left in use."""
    found = shipped("washer-shake")
    for case, left in (("dampers-declined", "left-in-use"), ("spider-declined", "left-out-of-use")):
        job = found.job(case)
        asked = {str(p.step).partition(".")[0] for p in job.path}
        assert not asked & {"proving-spin", "spin-proof", "known-bag", "hoses-pressure", "close"}, case
        assert {"hoses", "hoses-look"} <= asked and job.left == left
