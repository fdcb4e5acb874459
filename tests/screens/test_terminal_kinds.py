"""A whole job on each kind of machine, by keys in a real pseudo-terminal at 80x24."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal_program.terminal import KEYS, Technician, TerminalAhead, written

DOWN, UP = "\x1b[B", "\x1b[A"


@pytest.fixture(scope="module")
def folder():
    """The shipped flow."""
    return folder_of("washer-shake")


@pytest.fixture(scope="module")
def flow(folder):
    """The same, loaded."""
    return load(folder)


if sys.platform != "win32":

    class Specialist(Technician):
        """Goes from the job map straight to what is suspected, then decides, and mends or is told not to.

        ``route`` names the inspections to open, in order, as the map calls them; one with a ``!`` is refused, and
        what the screen says then is kept. ``badges`` keeps what stood in the safety box.
        """

        def __init__(self, terminal, flow, case, route):
            super().__init__(terminal, flow, case)
            self.route, self.badges, self.refused = list(route), [], []

        def one(self):
            """Choose on the map and say what was told; else as ever."""
            lines = self.terminal.lines
            box = re.search(r"[○■▲✗] ([A-Z][A-Z ,:]+[A-Z])", self.terminal.text)
            if box and (not self.badges or self.badges[-1] != box[1]):
                self.badges.append(box[1])
            if lines[1].startswith("job map"):
                self.choose()
            else:
                super().one()

        def choose(self):
            """Open the next of the route; then decide; then whatever comes next."""
            if not self.route:
                self.terminal.press("enter")
            elif self.route[0] == "decide":
                self.route.pop(0)
                self.terminal.press("d")
            else:
                name = self.route.pop(0)
                self.move_to(rf"▸ .? *{re.escape(name.strip('!'))}  ")
                self.terminal.press("enter")
                if name.startswith("!"):
                    self.on_to_the_map()
                    self.refused.append(self.terminal.text)

        def on_to_the_map(self):
            """Answer as the case does until what is open can't go on, and the map says why."""
            for _ in range(6):
                if self.terminal.lines[1].startswith("job map"):
                    return
                super().one()

        def move_to(self, row):
            """Move the mark down, or else up, until a line begins like this."""
            for key in [DOWN] * 40 + [UP] * 60:
                if any(re.match(row, line) for line in self.terminal.lines):
                    return
                self.terminal.child.send(key)
                self.terminal.read(0.08)
            raise AssertionError(f"no row is like {row}:\n{self.terminal.text}")

        def decide(self):
            """Tick the fault, which must stand first, and confirm it."""
            assert self.row_of_fault()[1] == "1", self.terminal.text
            super().decide()


def session_of(home):
    """The one session of a home."""
    (found,) = (home / "sessions").iterdir()
    return found


def events(home):
    """The events of the journal, as they lie on disk."""
    return tomllib.loads((session_of(home) / "journal.toml").read_text(encoding="utf-8"))["event"]


def verified(home):
    """True when the program's own check finds every seal of the session whole."""
    asked = ["-m", "wizard.cli", "--home", str(home), "session", "verify", session_of(home).name]
    return subprocess.run([sys.executable, *asked], capture_output=True, check=False).returncode == 0


def worked(home, flow, case, route, mending="1"):
    """Play a case from the door to the closed visit, and leave; gives the technician."""
    terminal = TerminalAhead(home, "job", "--flow", "washer-shake")
    technician = Specialist(terminal, flow, case, route)
    technician.mending = mending
    technician.play()
    technician.end = terminal.text
    terminal.child.send(KEYS["f12"])
    assert terminal.ended() == 0 and b"Traceback" not in terminal.raw
    assert verified(home)
    return technician


def row_of(paper, words):
    """The row of a paper's table that begins with these words, as its cells."""
    (row,) = [line for line in paper.splitlines() if line.startswith(f"| {words}")]
    return [cell.strip() for cell in row.strip("|").split("|")]


ARRIVE = ("What the customer says", "What forbids a spin")


@pytest.mark.nightly
def test_a_hung_top_loader_with_worn_rods(tmp_path, folder, flow):
    """Found by its swings and a pull at each rod; four new rods; proved; the papers tell the pull before and
    after.
    """
    case = written(folder, "rods-hung")
    done = worked(tmp_path, flow, case, [*ARRIVE, "Empty spin as it came", "Rods and straps", "decide"])
    assert "Closed: repaired and proved" in done.end
    assert any("POWER HELD" in x for x in done.badges) and any("POWER ON" in x for x in done.badges)
    assert not any("PROVED DEAD" in x for x in done.badges)
    paper = (session_of(tmp_path) / "HANDOVER.md").read_text(encoding="utf-8")
    assert "Not all of the rods that the tub hangs on calmed it any more." in paper
    assert "New rods, all four, with their cups." in paper
    row = row_of(paper, "Drag of one suspension rod")
    assert row[1:3] == ["3 ± 3 N, not good", "27 ± 3 N, good"], row
    row = row_of(paper, "Lean of the tub")
    assert row[1] == "not measured" and row[2].endswith("mm, good"), row


@pytest.mark.nightly
def test_a_base_sprung_top_loader_with_worn_pads(tmp_path, folder, flow):
    """Found by pads that stick and are 0.9 mm thick; new pads; proved. What is new is pushed; how thick it is is not
    measured again, and the paper says so.
    """
    case = written(folder, "pads-base")
    done = worked(tmp_path, flow, case, [*ARRIVE, "Empty spin as it came", "Pads or snubber ring", "decide"])
    assert "Closed: repaired and proved" in done.end
    assert any("POWER ON" in x for x in done.badges)
    paper = (session_of(tmp_path) / "HANDOVER.md").read_text(encoding="utf-8")
    row = row_of(paper, "Thinnest pad")
    assert row[1].startswith("0.90 ±") and row[1].endswith("not good"), row
    assert row[2] == "not measured", row


@pytest.mark.nightly
def test_a_front_loader_with_a_cracked_spider(tmp_path, folder, flow):
    """Barred from any spin as soon as it knocks, and told so when one tries; declined; left marked; never spun."""
    case = written(folder, "spider-declined")
    route = [*ARRIVE, "!Empty spin as it came", "Spider and drum play", "decide"]
    done = worked(tmp_path, flow, case, route, mending="2")
    (said,) = done.refused
    assert "must be repaired, or looked at again, first" in " ".join(said.split())
    assert "Closed: repair declined" in done.end and "The machine must not be used:" in done.end
    assert not any("POWER ON" in x for x in done.badges)
    live = {
        f"{i.id}.{s.id}"
        for i in flow.inspections.values()
        for s in i.steps
        if s.reach in ("energise", "run") or (i.id, s.id) == ("power", "plug-in")
    }
    told = events(tmp_path)
    runs = {e["run"]: e["inspection"] for e in told if e["kind"] == "entered"}
    asked = {f"{runs[e['run']]}.{e['step']}" for e in told if "step" in e and e.get("run") in runs} | set(
        done.path
    )
    assert len(live) > 10 and len(asked) > 25 and not live & asked
    assert "leaving.mark" in done.path
    paper = (session_of(tmp_path) / "HANDOVER.md").read_text(encoding="utf-8")
    assert "**WARNING. Do not use this machine.**" in paper
    assert "- How the drum turns: uneven, or not seen to be even." in paper
    assert "Told of the risk. The plug stays out." in paper
    assert row_of(paper, "How much the rim's play")[1].endswith("not good")
