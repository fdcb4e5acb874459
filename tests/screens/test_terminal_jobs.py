"""Whole jobs by keys in a real pseudo-terminal at 80x24: led by the evidence, alone, sound, hurried, and by a slip.

Each paper that such a job leaves on the disk is read sentence by sentence against the journal beside it.
"""

from __future__ import annotations

import sys

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.drawn_spin import drawn

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal_program.terminal import Technician, TerminalAhead, written
    from tests.helpers.terminal_program.terminal_jobs import (
        SLIP,
        Hasty,
        Recording,
        Slipping,
        events,
        read_papers,
        session_of,
        worked,
    )

SCORCHED = "Plug or outlet scorched, hot or wet"


@pytest.fixture(scope="module")
def folder():
    """The shipped flow."""
    return folder_of("washer-shake")


@pytest.fixture(scope="module")
def flow(folder):
    """The same, loaded."""
    return load(folder, lambda _digest: True)


def begun(home):
    """The program, asked for a job; where it waits for minutes, its clocks are put on."""
    return TerminalAhead(home, "job", "--flow", "washer-shake")


def paper(home):
    """The customer's paper."""
    return (session_of(home) / "HANDOVER.md").read_text(encoding="utf-8")


def of_kind(home, kind):
    """The events of a kind."""
    return [event for event in events(home) if event["kind"] == kind]


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("case", "says"),
    [
        ("dampers-worn", "New dampers"),
        ("rods-hung", "New rods, all four"),
        ("pads-base", "A new set of pads fitted"),
    ],
)
def test_a_job_led_by_the_evidence(tmp_path, folder, flow, case, says):
    """On each kind Enter alone leads to the fault and through its proof, past what tells nothing more."""
    technician = Technician(begun(tmp_path), flow, written(folder, case))
    end = worked(tmp_path, technician)
    assert "Closed: repaired and proved" in end and says in paper(tmp_path)
    assert [e["outcome"] for e in of_kind(tmp_path, "closed")] == ["proved"]
    looked = {e["inspection"] for e in of_kind(tmp_path, "entered")}
    assert {i for i in flow.find if i not in looked} and not of_kind(tmp_path, "skipped")


@pytest.mark.nightly
def test_a_job_led_by_a_recording(tmp_path, folder, flow):
    """A phone's file before leads to the dampers, one after stands beside it: proved, and both papers have the picture;
    what it filled in is marked as from the recording, and was never asked; whether it was calm at speed, was.
    """
    files = {"record-spin.take": tmp_path / "before.csv", "proving-spin.recorded": tmp_path / "after.csv"}
    write_motion(drawn("worn-dampers", 2003), 2003, files["record-spin.take"])
    write_motion(drawn("healthy", 2003), 2003, files["proving-spin.recorded"])
    home = tmp_path / "home"
    technician = Recording(begun(home), flow, written(folder, "recorded-worn"), files)
    end = worked(home, technician)
    assert "Closed: repaired and proved" in end
    assert set(files) <= set(technician.path) and "record-spin.worst" in technician.path
    before, after = of_kind(home, "spin")
    assert (
        before["file"] == "before.csv" and after["file"] == "after.csv" and before["name"] and after["name"]
    )
    filled = [
        e["step"]
        for e in of_kind(home, "answered")
        if e.get("recording") and e["step"] not in ("take", "recorded")
    ]
    assert filled == ["knock", "shake", "empty"]
    text = paper(home)
    assert "(From the recording.)" in (session_of(home) / "RECORD.md").read_text(encoding="utf-8")
    assert "before and after" in text and "|ramp" in text


@pytest.mark.nightly
def test_a_lone_technician(tmp_path, folder, flow):
    """Nobody to tilt with past its angle: the dampers stay unseen and so unfitted, and the paper says so."""
    case = written(folder, "way-tilted")
    case["answers"]["second.here"] = "alone"
    technician = Technician(begun(tmp_path), flow, case)
    technician.mending = "3"
    end = worked(tmp_path, technician)
    assert "second.here" in technician.path and "dampers.look-below" not in technician.path
    assert "Closed: parts on order" in end and "Dampers" in paper(tmp_path).partition("## Not looked at")[2]


@pytest.mark.nightly
def test_a_lone_technician_reaches_dampers_from_below(tmp_path, folder, flow):
    """An edge raised with a lever, on blocks, let down again: new dampers, proved, and nobody else is asked for."""
    technician = Technician(begun(tmp_path), flow, written(folder, "below"))
    end = worked(tmp_path, technician)
    assert {"stand.raise", "stand.off-blocks"} <= set(
        technician.path
    ) and "second.here" not in technician.path
    assert "Closed: repaired and proved" in end and "New dampers" in paper(tmp_path)


@pytest.mark.nightly
def test_a_lone_technician_does_what_one_can(tmp_path, folder, flow):
    """What ails it is found and put right without lifting anything: proved, and nothing is said to be mended."""
    end = worked(tmp_path, Technician(begun(tmp_path), flow, written(folder, "alone")))
    assert "Closed: advice given, and proved" in end and "mended" not in paper(tmp_path)


@pytest.mark.nightly
def test_a_machine_with_nothing_wrong(tmp_path, folder, flow):
    """Every reading inside its limits: no part, no repair, and the paper claims none."""
    technician = Technician(begun(tmp_path), flow, written(folder, "normal-fl"))
    worked(tmp_path, technician)
    assert [e["outcome"] for e in of_kind(tmp_path, "closed")] == ["no-fault"]
    assert "After the repair" not in paper(tmp_path) and not list(session_of(tmp_path).glob("PARTS*"))


class Puzzled(Technician):
    """Says that nothing is wrong; asked once more after the proof has failed, confirms nothing."""

    again = False

    def decide(self) -> None:
        if self.again:
            self.terminal.wait("A proof failed. Tick what is wrong.")
            self.terminal.press("enter")
            self.terminal.wait("Yes: what causes it was not found")
            self.terminal.press("1")
            return
        super().decide()
        self.again = self.decided


@pytest.mark.nightly
def test_a_machine_that_fails_its_proof_where_nothing_was_confirmed(tmp_path, folder, flow):
    """What is wrong is asked once more; nobody finds it, and neither screen nor paper says that nothing was."""
    technician = Puzzled(begun(tmp_path), flow, written(folder, "edge-proving-spin-loaded-4"))
    end = worked(tmp_path, technician)
    assert "a fault showed, cause not found" in end
    assert [e["outcome"] for e in of_kind(tmp_path, "closed")] == ["unexplained"]
    decided = [e["faults"] for e in of_kind(tmp_path, "decided")]
    assert decided[0] == ["normal"] and len(decided) > 1 and not any(decided[1:])
    assert "## Seen at the end" in paper(tmp_path) and "no fault confirmed" not in paper(tmp_path)


@pytest.mark.nightly
def test_a_job_in_which_everything_is_left_out(tmp_path, folder, flow):
    """Each inspection is left out with a reason: no fault is found, and the paper says how little was looked at."""
    technician = Hasty(begun(tmp_path), flow, written(folder, "normal-fl"))
    worked(tmp_path, technician)
    journal = read_papers(tmp_path)
    assert {i for i in flow.find if journal.looked(i)} <= set(flow.prove)  # What is owed to whoever runs it.
    skipped = of_kind(tmp_path, "skipped")
    assert len(skipped) == len(technician.skipped) > 15 and {e["reason"] for e in skipped} == {Hasty.WHY}
    assert "The fault was not found." in paper(tmp_path) and "We looked" not in paper(tmp_path)


@pytest.mark.nightly
def test_a_slip_that_stops_work_is_taken_back_and_the_job_done(tmp_path, folder, flow):
    """F3 on the stopped screen, a reason: all is asked anew, the job is done and proved, and both stay recorded."""
    technician = Slipping(begun(tmp_path), flow, written(folder, "dampers-worn"), SCORCHED, "f3")
    end = worked(tmp_path, technician)
    assert "Closed: repaired and proved" in end and "OUTLET BAD" in technician.stopped
    assert [e["reason"] for e in of_kind(tmp_path, "stop-withdrawn")] == [SLIP]
    assert SLIP in (session_of(tmp_path) / "RECORD.md").read_text(encoding="utf-8")


@pytest.mark.nightly
def test_a_slip_that_stops_work_is_taken_back(tmp_path, folder, flow):
    """u on the stopped screen, a reason: the question comes again, and nothing is taken for safe."""
    terminal = begun(tmp_path)
    technician = Slipping(terminal, flow, written(folder, "dampers-worn"), SCORCHED, "u")
    technician.play(until="Ask what it does")
    terminal.press("f12")
    terminal.press("1")
    assert terminal.ended() == 0 and "OUTLET BAD" in technician.stopped
    assert technician.path.count("before.danger") == 1 and SLIP in str(of_kind(tmp_path, "stop-withdrawn"))
    assert of_kind(tmp_path, "answered")[-1]["chosen"] == ["clear"]
