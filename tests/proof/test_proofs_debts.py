"""Every end restores what was opened: debts that nothing pays, ends that can't be reached, panels off in a spin."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.jobs import good as load_good
from tests.proof.edits import answer, edited, entry, every_answer, inspection, remedy, step
from wizard.engine import derive
from wizard.engine.draft import Rules
from wizard.flow.model import Flow
from wizard.proof.follow import Followed, follow
from wizard.proof.proofs import Shown, prove
from wizard.proof.proofs.debts import classes, payable
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.ways import Maps


@pytest.fixture
def good() -> Flow:
    """The small whole flow."""
    return load_good()


def the(flow: Flow, rule: str) -> tuple[Shown, Followed]:
    """The only error, which must be of this rule, and how far the engine goes along its witness."""
    (found,) = [p for p in prove(flow) if p.severity == "error"]
    assert found.rule == rule, found
    return found, follow(flow, found.witness)


def ledger(flow: Flow) -> Ledger:
    """The sites of bars and debts of a flow."""
    return Ledger(Routes(Maps(Rules.of(flow))))


def unpaid(flow: Flow, debt: str) -> Flow:
    """The flow with no step that pays a debt."""
    for i in flow.inspections.values():
        for s in i.steps:
            for a in s.answers:
                if debt in a.pay:
                    flow = answer(flow, f"{i.id}.{s.id}", a.id, pay=tuple(d for d in a.pay if d != debt))
    return flow


def test_good_flow_pays_everything(good: Flow) -> None:
    """On every machine of the good flow all that may be owed can be paid, with every bar standing."""
    book = ledger(good)
    found = classes(book)
    assert {"front-panel", "level"} in [set(c.owable) for c in found]
    for machine in found:
        assert payable(book, machine, book.barred) == machine.owable


def test_debt_that_nothing_pays(good: Flow) -> None:
    """A panel that is opened and never closed keeps the job open: the engine refuses to close it."""
    found, end = the(unpaid(good, "front-panel"), "owed")
    assert end.refused == "close" and "front panel" in end.says
    assert "front-panel" in derive.debts(end.state)
    assert found.file == "flow.toml" and found.witness[-1] == "close"


def test_debt_of_a_remedy_that_nothing_pays(good: Flow) -> None:
    """What a repair owes is followed through the repair."""
    found, end = the(unpaid(good, "level"), "owed")
    assert "mend dampers-worn: fitted" in found.witness
    assert end.refused == "close" and set(derive.debts(end.state)) == {"level"}


def test_debt_paid_only_where_it_forbids(good: Flow) -> None:
    """A debt that must be paid before any spin, and is paid by a spin, is never paid."""
    broken = every_answer(unpaid(good, "level"), "spin.run", pay=("level",))
    _, end = the(broken, "owed")
    assert end.refused == "barred" and "level" in derive.debts(end.state)


def test_debts_that_wait_for_each_other(good: Flow) -> None:
    """Two debts, each paid by what the other forbids, are both named."""
    broken = unpaid(unpaid(good, "level"), "front-panel")
    broken = every_answer(broken, "spin.run", pay=("front-panel",))
    broken = every_answer(broken, "hoses.tissue", pay=("level",))
    broken = entry(broken, "debts", "front-panel", before=("water",))
    broken = entry(broken, "debts", "level", before=("spin",))
    found = [p for p in prove(broken) if p.rule == "owed"]
    assert {p.text.split('"')[1] for p in found} == {"front-panel", "level"}


def test_debt_paid_on_other_machines_only(good: Flow) -> None:
    """A top loader can owe what only the dampers' steps pay."""
    broken = unpaid(good, "level")
    broken = every_answer(broken, "dampers.refit", pay=("level",))
    broken = answer(broken, "quick.bolts", "yes", owe=("level",))
    found, end = the(broken, "owed")
    assert "fact kind = top-loader" in found.witness
    assert end.refused == "close" and "level" in derive.debts(end.state)


def test_debt_paid_only_the_second_time(good: Flow) -> None:
    """A panel that its inspection pays with the very answer that opens it is closed by going through it again."""
    sound = every_answer(unpaid(good, "front-panel"), "dampers.bounce", pay=("front-panel",))
    assert [p for p in prove(sound) if p.severity == "error"] == []
    gate = ("isolate.look: yes", "isolate.plug: done", "isolate.press: no", "isolate.taps: done")
    once = ("dampers.bounce: settles", "dampers.pull: unable", "dampers.spread: unable")
    start = ("fact kind = front-loader", "open dampers", *gate)
    end = follow(sound, (*start, *once, "open dampers", *once[:1]))
    assert end.refused == ""
    assert "front-panel" in derive.debts(end.states[-2]) and "front-panel" not in derive.debts(end.state)


def test_debt_that_a_bar_keeps_from_being_paid(good: Flow) -> None:
    """With the plug scorched no water is let on, so what only the wet gate pays stays owed on the next visit."""
    broken = every_answer(unpaid(good, "level"), "taps-on.open", pay=("level",))
    found, end = the(broken, "owed")
    assert '"scorched" stands' in found.text
    assert "level" in derive.debts(end.state) and "scorched" in derive.bars(end.state)
    assert end.refused == "barred"


def test_handover_that_a_bar_forbids(good: Flow) -> None:
    """A bar on what the handover does and no proof of the repair does: the job has no end."""
    broken = inspection(
        entry(good, "bars", "scorched", forbids=("covered",)), "handover", states=("covered",)
    )
    found, end = the(broken, "close")
    assert 'handover "handover"' in found.text
    assert end.refused == "barred" and "scorched" in derive.bars(end.state)


def test_handover_of_other_machines(good: Flow) -> None:
    """A handover that isn't for this machine can't be opened, so its job can't be closed."""
    broken = inspection(good, "handover", applies={"kind": ("front-loader",)})
    found, end = the(broken, "close")
    assert "fact kind = top-loader" in found.witness
    assert end.refused == "applies"


def test_leaving_that_is_energised_with_a_panel_off(good: Flow) -> None:
    """A way to leave that needs power, forbidden by the bar that makes one leave."""
    barred = entry(good, "bars", "transit", forbids=("spin", "energised"))
    broken = inspection(barred, "leave", energised=True, states=("covered",))
    found = [p for p in prove(broken) if p.rule == "close"]
    assert found and follow(broken, found[0].witness).refused == "barred"


def test_spin_with_a_panel_off(good: Flow) -> None:
    """A panel that no debt puts before a spin may be off while the drum spins."""
    broken = entry(answer(good, "restore.covers", "done", pay=()), "debts", "front-panel", before=())
    found, end = the(broken, "spin")
    assert end.refused == ""
    at_spin = end.states[-2]
    assert at_spin.run is not None and at_spin.run.inspection == "spin"
    assert at_spin.safety == "proving" and "front-panel" in derive.debts(at_spin)
    assert found.file == "flow.toml"


def test_spin_with_a_panel_off_that_a_gate_forgets(good: Flow) -> None:
    """The same for another panel, opened by another inspection."""
    opened = inspection(entry(good, "debts", "level", before=()), "motor", opens=("level",))
    broken = answer(opened, "restore.level", "done", pay=())
    _, end = the(broken, "spin")
    assert "level" in derive.debts(end.states[-2]) and end.states[-2].safety == "proving"


def test_gate_that_closes_the_panel_is_enough(good: Flow) -> None:
    """Where the gate itself has the panel put back, no debt need stand before the spin."""
    sound = entry(good, "debts", "front-panel", before=())
    assert [p for p in prove(sound) if p.severity == "error"] == []


def test_remedy_alone_pays_nothing_for_others(good: Flow) -> None:
    """A repair that pays is no way to pay: the machine may not have its fault."""
    broken = remedy(unpaid(good, "front-panel"), "wiring", pay=("front-panel",))
    _, end = the(broken, "owed")
    assert end.refused == "close"


def test_bar_that_nothing_lifts_is_a_warning(good: Flow) -> None:
    """A bar without an end is named with a path that puts it in force, and is no error."""
    (found,) = prove(good)
    assert (found.rule, found.severity) == ("lift", "warning")
    assert "stop hot-plug" in found.witness
    assert "scorched" in derive.bars(follow(good, found.witness).state)


def test_bar_of_an_answer_that_nothing_lifts(good: Flow) -> None:
    """The path is the one to that answer."""
    broken = answer(remedy(good, "transit-in", lift=()), "quick.bolts", "no", lift=())
    found = next(p for p in prove(broken) if '"transit"' in p.text)
    assert (found.severity, found.witness[-2:]) == ("warning", ("open quick", "quick.bolts: yes"))
    assert "transit" in derive.bars(follow(broken, found.witness).state)


def barred_by_facts(flow: Flow, *values: str) -> Flow:
    """The flow with a bar that nothing lifts, put in force by these kinds of machine."""
    kind = flow.facts[0]
    told = tuple(replace(v, bar=("scorched",) if v.id in values else ()) for v in kind.values)
    return edited(flow, facts=(replace(kind, values=told), *flow.facts[1:]))


def test_bar_of_every_machine_that_nothing_lifts_is_an_error(good: Flow) -> None:
    """Every value of a fact sets it: what it forbids can be done on no machine. With one value free it is a warning."""
    every = next(p for p in prove(barred_by_facts(good, "front-loader", "top-loader")) if p.rule == "lift")
    assert every.severity == "error" and 'every value of fact "kind"' in every.text
    assert every.witness == ("fact kind = front-loader",)
    some = next(p for p in prove(barred_by_facts(good, "top-loader")) if p.rule == "lift")
    assert some.severity == "warning" and some.witness[:1] == ("fact kind = top-loader",)


def test_step_that_its_own_inspection_forbids(good: Flow) -> None:
    """A step that lets water on in an inspection whose panel must be closed before any water is never answered."""
    broken = step(
        entry(good, "debts", "front-panel", before=("spin", "water")), "dampers.refit", does=("water",)
    )
    _, end = the(broken, "barred")
    assert end.refused == "barred" and end.state.run is not None and end.state.run.at == "refit"


def test_gate_that_its_own_answer_forbids(good: Flow) -> None:
    """A gate whose first step owes what its last step must not be done with: nobody gets through it."""
    owing = entry(
        answer(good, "taps-on.hoses-on", "yes", owe=("level",)), "debts", "level", before=("water",)
    )
    found = next(p for p in prove(owing) if p.rule == "barred" and p.file == "inspections/taps-on.toml")
    end = follow(owing, found.witness)
    assert end.refused == "barred" and end.state.run is not None and end.state.run.at == "open"


def test_bar_that_forbids_what_lifts_it(good: Flow) -> None:
    """A bar on a spin that only the spin lifts stays for ever."""
    broken = every_answer(answer(remedy(good, "transit-in", lift=()), "quick.bolts", "no", lift=()), "spin.run",
                          lift=("transit",))  # fmt: skip
    _, end = the(broken, "lift")
    assert end.refused == "barred" and "transit" in derive.bars(end.state)


def test_bar_that_another_bars_step_lifts(good: Flow) -> None:
    """A bar that a step lifts which it doesn't forbid is none of that."""
    sound = every_answer(answer(remedy(good, "transit-in", lift=()), "quick.bolts", "no", lift=()), "dampers.refit",
                         lift=("transit",))  # fmt: skip
    assert [p for p in prove(sound) if p.severity == "error"] == []
