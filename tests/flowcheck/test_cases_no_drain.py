"""The cases of the washer that doesn't drain: what they are about, beyond what holds for the cases of every flow."""

from __future__ import annotations

from tests.helpers.flows.shipped_cases import shipped


def test_a_job_is_left_safe_while_the_house_drain_backs_up() -> None:
    """Whoever declines the plumber keeps a machine that is closed, unplugged and tagged, not a handover."""
    job = shipped("washer-no-drain").job("standpipe-declined")
    seen = {str(p.step).partition(".")[0] for p in job.path}
    assert "leave-safe" in seen and "handover" not in seen and "pump-run" not in seen
    assert (job.left, job.machine["drain"]) == ("left-out-of-use", {"backs"})


def test_the_pump_is_measured_dead_only() -> None:
    """No case answers a step at the pump's terminals at any other reach, and the cover was proved dead before."""
    at = ("pump.", "coil-", "phases.", "pressure.")
    for job in shipped("washer-no-drain").played:
        path = [p for p in job.path if str(p.step).startswith(at)]
        assert {p.reach for p in path} <= {"terminals"}, job.case
        names = [str(p.step) for p in job.path]
        if path:
            assert "dead.again" in names[: names.index(str(path[0].step))], job.case


def test_water_and_power_come_only_at_their_reaches() -> None:
    """The pump and the proof run at 'run', the pressure test at 'wet'."""
    reaches = {(str(p.step), p.reach) for job in shipped("washer-no-drain").played for p in job.path}
    assert {r for step, r in reaches if step in ("pump-run.sound", "drain-test.fill", "drain-test.time")} == {
        "run"
    }
    assert {r for step, r in reaches if step.startswith("hoses-pressure.")} == {"wet"}


def test_no_proof_is_filled_after_the_program_itself_had_the_taps_shut() -> None:
    """What asks for an empty sump, the push and hands in the drum, comes before the taps are opened for the proof."""
    checked = 0
    for job in shipped("washer-no-drain").played:
        names = [str(p.step) for p in job.path]
        if "drain-test.fill" not in names:
            continue
        opened = max(
            n for n, step in enumerate(names[: names.index("drain-test.fill")]) if step == "water.open"
        )
        between = names[opened : names.index("drain-test.fill")]
        assert not {"water.shut", "water.relieve"} & set(between), job.case
        checked += 1
    assert checked > 40
