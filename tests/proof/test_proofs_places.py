"""Broken flows as their author writes them: sound in form, each problem at its place, its witness true."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.flow.folders import edited, good
from wizard.engine import derive
from wizard.flow.check import examine
from wizard.flow.model import Flow
from wizard.proof.follow import Followed, follow
from wizard.proof.proofs import Shown, prove

Edit = tuple[str, str, str]
ISOLATE, DEAD, QUICK = "inspections/isolate.toml", "inspections/dead.toml", "inspections/quick.toml"
HANDOVER = "inspections/handover.toml"
TOP = 'applies = { kind = ["top-loader"] }'
WALKS = "weights = { dampers-worn = 0.5, transit-in = 0.9, wiring = 0.1, normal = 0.05 }"
FAIL = '[[step.on]]\nverdict = "fail"\n'
RETRY = 'next = "bus"\nmost = 3\nthen = "stop:live"\n'
AGAIN = 'again. Does it show it?"\nunable = { stop = "live" }\n\n[[step.answer]]\nid = "yes"\nusual = true'
LOOKED = """kind = "look"
do = "Look at the plug and the outlet. Are both whole and cool?"
unable = { stop = "hot-plug" }

[[step.answer]]
id = "yes"
usual = true

[[step.answer]]
id = "no"
stop = "hot-plug"
"""
CHOSEN_OF_THREE = """kind = "choose"
do = "Look at the plug and the outlet."
unable = { stop = "hot-plug" }

[[step.answer]]
id = "yes"
says = "Whole and cool"
usual = true

[[step.answer]]
id = "warm"
says = "Whole, and warm from the sun"
good = true

[[step.answer]]
id = "no"
says = "Scorched"
"""
SPIN_FREE = (
    "flow.toml",
    'says = "Close the front panel"\nbefore = ["spin"]',
    'says = "Close the front panel"\nbefore = []',
)
NOT_PUT_BACK = ("inspections/restore.toml", 'pay = ["front-panel"]\n', "")
LEVEL_BY_DAMPERS = (
    ("inspections/leave.toml", 'pay = ["front-panel", "level"]', 'pay = ["front-panel"]'),
    ("inspections/restore.toml", 'pay = ["level"]\n', ""),
    (
        "inspections/dampers.toml",
        'do = "Fit the dampers again."',
        'do = "Fit the dampers again."\npay = ["level"]',
    ),
)


def written(edits: tuple[Edit, ...]) -> dict[str, bytes]:
    """The files of the good flow with all of these edits."""
    files = good()
    for name, old, new in edits:
        text = files[name].decode()
        assert text.count(old) == 1, (name, old, text.count(old))
        files[name] = text.replace(old, new).encode()
    return files


def isolated_though(answer: str) -> Callable[[Followed], bool]:
    """True at the end of a witness when the machine counts as isolated with this answer given in the gate."""
    return lambda end: (
        not end.refused
        and end.state.safety == "isolated"
        and f"isolate.{answer}" in {f"{g.inspection}.{g.step}: {g.answer}" for g in end.state.given}
    )


def dead_though_charged(end: Followed) -> bool:
    """True when the machine counts as proved dead with a bus that failed."""
    return end.state.safety == "proved-dead" and any(g.verdict == "fail" for g in end.state.given)


def spins_open(end: Followed) -> bool:
    """True when the step before the last state spun with the panel off."""
    before = end.states[-2]
    spins = before.run is not None and before.run.inspection == "spin"
    return spins and before.safety == "proving" and "front-panel" in derive.debts(before)


def refused(reason: str) -> Callable[[Followed], bool]:
    """True when the engine refuses the last line for this reason."""
    return lambda end: end.refused == reason


@dataclass(frozen=True)
class Broken:
    """Edits of the good flow, the rule that finds them, what stands at the place, and the harm at the witness's end."""

    edits: tuple[Edit, ...]
    rule: str
    file: str
    place: str
    harm: Callable[[Followed], bool] | None = None


TABLE = {
    "a retry that leads on": Broken(
        ((ISOLATE, 'then = "stop:not-ready"', 'then = "taps"'),),
        "passed", ISOLATE, '[[step.answer]]\nid = "yes"\nnext = "plug"', isolated_though("press: yes"),
    ),
    "a scorched plug passed by": Broken(
        ((ISOLATE, 'id = "no"\nstop = "hot-plug"', 'id = "no"'),),
        "passed", ISOLATE, '[[step.answer]]\nid = "no"', isolated_though("look: no"),
    ),
    "a scorched plug of three answers passed by": Broken(
        ((ISOLATE, LOOKED, CHOSEN_OF_THREE),),
        "passed", ISOLATE, '[[step.answer]]\nid = "no"', isolated_though("look: no"),
    ),
    "a charged bus passed by": Broken(
        ((DEAD, FAIL + RETRY, FAIL),), "passed", DEAD, '[[step.on]]\nverdict = "fail"', dead_though_charged
    ),
    "a gate that ends what it stands on": Broken(
        ((DEAD, AGAIN, AGAIN + '\nvoids = ["isolated"]'),), "way", DEAD,
        '[[step.answer]]\nid = "yes"', lambda end: end.state.safety == "covered",
    ),
    "a debt of machines that can't pay it": Broken(
        (*LEVEL_BY_DAMPERS, (QUICK, 'bar = ["transit"]', 'bar = ["transit"]\nowe = ["level"]')),
        "owed", "flow.toml", '"level"', refused("close"),
    ),
    "a debt that only a barred gate pays": Broken(
        (*LEVEL_BY_DAMPERS[:2], ("inspections/taps-on.toml", 'does = ["water"]', 'does = ["water"]\npay = ["level"]')),
        "owed", "flow.toml", '"level"', refused("barred"),
    ),
    "a spin with the panel off": Broken(
        (SPIN_FREE, NOT_PUT_BACK), "spin", "flow.toml", '"front-panel"', spins_open
    ),
    "a handover for some machines only": Broken(
        ((HANDOVER, 'title = "Handover"', f'{TOP}\ntitle = "Handover"'),),
        "close", "flow.toml", '"handover"', refused("applies"),
    ),
    "a way to leave for some machines only": Broken(
        (("inspections/leave.toml", 'title = "Leave', 'applies = { kind = ["top-loader"] }\ntitle = "Leave'),),
        "close", "flow.toml", '"leave"', refused("applies"),
    ),
    "a fault that nothing raises": Broken(
        (("findings.toml", WALKS, WALKS.replace(", wiring = 0.1", "")),
         ("findings.toml", "weights = { wiring = 0.8 }", "weights = { normal = 0.8 }")),
        "raise", "faults.toml", '"wiring"',
    ),
    "a fault that nothing rules out": Broken(
        (("findings.toml", WALKS, WALKS.replace(", transit-in = 0.9", "")),
         (QUICK, "rules_out = { bolts-seen = 1.0 }\n", "")),
        "rule-out", "faults.toml", '"transit-in"',
    ),
    "two faults that nothing tells apart": Broken(
        (("findings.toml", WALKS, WALKS.replace("0.05", "0.1")),
         ("findings.toml", "weights = { wiring = 0.8 }", "weights = { wiring = 0.8, normal = 0.8 }")),
        "alike", "faults.toml", '"wiring"',
    ),
}  # fmt: skip


def problem(broken: Broken) -> tuple[Flow, Shown, str]:
    """The flow, the first problem of the rule, and the text from its place on."""
    content = written(broken.edits)
    found = examine(content)
    assert found.sound and found.flow is not None, [str(p) for p in found.problems if p.severity == "error"]
    first = next(p for p in prove(found.flow, book=found.book) if p.rule == broken.rule)
    lines = content[first.file].decode().splitlines()[first.line - 1 :]
    return found.flow, first, "\n".join(lines)[first.column - 1 :]


@pytest.mark.parametrize("name", TABLE)
def test_problem_stands_at_its_place(name: str) -> None:
    """File, line and column are those of the answer, inspection or entry that is to blame."""
    _, found, text = problem(TABLE[name])
    assert found.file == TABLE[name].file
    assert text.startswith(TABLE[name].place), text[:80]
    assert str(found).startswith(f"{found.file}:{found.line}:{found.column} ")


@pytest.mark.parametrize("name", [n for n, b in TABLE.items() if b.harm])
def test_witness_is_true(name: str) -> None:
    """The engine follows the witness to its end, where the harm is seen; only the last line may be refused."""
    flow, found, _ = problem(TABLE[name])
    end = follow(flow, found.witness)
    harm = TABLE[name].harm
    assert harm is not None and harm(end), (end.refused, end.says, found.witness)
    assert end.at >= len(found.witness) - 1


def test_good_flow_breaks_no_rule() -> None:
    """The good flow alone breaks none of the rules that the table breaks."""
    found = examine(good())
    assert found.flow is not None
    assert {p.rule for p in prove(found.flow, book=found.book)} == {"lift"}


def test_edits_that_the_proofs_leave_alone() -> None:
    """A debt paid in one place fewer is still paid in another: no problem."""
    found = examine(edited(*NOT_PUT_BACK))
    assert found.flow is not None
    assert {p.rule for p in prove(found.flow, book=found.book)} == {"lift"}
