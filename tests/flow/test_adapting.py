"""What a flow may do with the library: leave out what its machines lack, and say the rest in its own words."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tests.helpers.flows.flow_folders import good
from wizard.domain.references import StepRef
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.static_check import examine
from wizard.flow.model import Flow, fits

HEAD = b'kind = "kind"\n'


def files(without: str = "", wording: str = "") -> dict[str, bytes]:
    """The good flow, with conditions left out, and with words of its own."""
    found = dict(good())
    if without:
        found["flow.toml"] = found["flow.toml"].replace(HEAD, HEAD + f"without = [{without}]\n".encode(), 1)
        assert found["flow.toml"] != good()["flow.toml"]
    if wording:
        found["wording.toml"] = wording.encode()
    return found


def said(found: Mapping[str, bytes]) -> list[str]:
    return [str(problem) for problem in examine(found).problems]


def built(found: Mapping[str, bytes]) -> Flow:
    """The flow, the checked one and the quickly built one alike."""
    checked, quick = load_files(found), load_files(found, lambda _digest: True)
    assert checked == quick
    return checked


def test_what_a_machine_lacks_applies_to_none_and_all_else_stays() -> None:
    """Taps that no machine has: no fact brings them back, and no other condition differs."""
    whole, less = built(good()), built(files('"taps"'))
    assert any(
        fits(whole.conditions["taps"].applies, {"kind": kind}) for kind in ("front-loader", "top-hung")
    )
    kinds = [value.id for value in less.facts[0].values]
    assert not any(fits(less.conditions["taps"].applies, {"kind": kind}) for kind in (*kinds, ""))
    others = [name for name in whole.conditions if name != "taps"]
    assert [less.conditions[name] for name in others] == [whole.conditions[name] for name in others]
    assert less.reaches == whole.reaches


def test_steps_and_stops_for_what_a_machine_lacks_are_gone_and_no_others() -> None:
    """Nothing opens or shuts taps, nobody is told of one that can't be shut, and a look round ticks no hose."""
    whole, less = built(good()), built(files('"taps", "hoses"'))
    before, after = (
        {str(r) for i in flow.inspections.values() for r in i.references} for flow in (whole, less)
    )
    assert (
        before - after == {"water.shut", "water.relieve", "water.open", "closing.hoses"} and after <= before
    )
    assert set(whole.stops) - set(less.stops) == {"tap-open"} and "water" not in less.procedures
    seen = StepRef("round-front", "seen")
    ticks = [{answer.id for answer in step.answers} for flow in (whole, less) if (step := flow.step(seen))]
    assert ticks[0] - ticks[1] == {"hoses"} and ticks[1] < ticks[0]


@pytest.mark.parametrize("name", ["gas", "supply", "verified", "dead", "people", "earth", "told", "motion"])
def test_what_keeps_people_safe_on_every_machine_is_never_left_out(name: str) -> None:
    """Each is refused with the names of those that may be."""
    (problem,) = said(files(f'"{name}"'))
    assert f'every machine has "{name}"' in problem and "taps" in problem


def test_what_is_left_out_is_known_by_its_name() -> None:
    """A misspelt one is told with the nearest right name, and is not taken."""
    (problem,) = said(files('"tap"'))
    assert '"tap" is not in' in problem and 'Did you mean "taps"?' in problem


WORDS = """
[[procedure]]
id = "power"
title = "Current off and on"

[[step]]
id = "power.settled"
do = "Wait. Look until it stands."
answer = { settled = "It stands, and it is cool" }

[[condition]]
id = "rear"
says = "Back"
values = { off = "not on" }

[[reach]]
id = "touch"
says = "Hands outside"

[[stop]]
id = "not-restored"
make_safe = ["Leave the plug out."]
"""


def test_own_words_stand_in_the_place_of_the_librarys_and_change_nothing_else() -> None:
    """The text differs, and what is needed, may change and is said stays as it is."""
    before, after = built(good()), built(files(wording=WORDS))
    step, own = (flow.inspections["power"].step("settled") for flow in (before, after))
    assert step is not None and own is not None
    assert (
        own.do == "Wait. Look until it stands." and own.caution == step.caution and own.expect == step.expect
    )
    assert own.answers[0].says == "It stands, and it is cool"
    assert [answer.says for answer in own.answers][1:] == [answer.says for answer in step.answers][1:]
    for kept in ("so", "next", "stop", "most", "then"):
        assert [getattr(a, kept) for a in own.answers] == [getattr(a, kept) for a in step.answers]
    assert (own.needs, own.may, own.reach, own.takes) == (step.needs, step.may, step.reach, step.takes)
    assert after.inspections["power"].title == "Current off and on"
    rear = after.conditions["rear"]
    assert rear.says == "Back" and rear.values == {**before.conditions["rear"].values, "off": "not on"}
    assert after.reaches["touch"].says == "Hands outside"
    assert after.reaches["touch"].needs == before.reaches["touch"].needs
    assert after.stops["not-restored"].make_safe == ("Leave the plug out.",)
    assert after.stops["not-restored"].again == before.stops["not-restored"].again


@pytest.mark.parametrize(
    ("wording", "what"),
    [
        ('[[step]]\nid = "power.settle"\ndo = "Wait."\n', '"power.settle" is not in'),
        (
            '[[step]]\nid = "power.settled"\nanswer = { settle = "x" }\n',
            'no answer "settle". Did you mean "settled"?',
        ),
        ('[[step]]\nid = "power.settled"\ncaution = [{ word = "notice", says = "x" }]\n', "by warning"),
        ('[[condition]]\nid = "rear"\nvalues = { gone = "x" }\n', 'no text for "gone"'),
        ('[[condition]]\nid = "rear"\nshort = { on = "ON" }\n', 'no text for "on"'),
        ('[[stop]]\nid = "gas"\ncall = "x"\n[[stop]]\nid = "gas"\ncall = "y"\n', "words of its own above"),
        ('[[step]]\nid = "power.settled"\ndo = "Lift it."\n', 'no sentence begins with "lift"'),
        ('[[step]]\nid = "power.settled"\nneeds = { supply = ["live"] }\n', '"needs" is not a key here'),
        ('[[procedure]]\nid = "dampers"\nwhy = "x"\n', "this flow's own"),
    ],
)
def test_own_words_weaken_nothing(wording: str, what: str) -> None:
    """What the library has no place for is an error, and so is a warning that is milder or hands that reach further."""
    assert any(what in problem for problem in said(files(wording=wording))), said(files(wording=wording))


def test_graver_warnings_may_be_given() -> None:
    """More and graver ones are a flow's to give."""
    wording = (
        '[[step]]\nid = "power.settled"\n'
        'caution = [{ word = "danger", says = "Mains kills." }, { word = "caution", says = "It is hot." }]\n'
    )
    assert said(files(wording=wording)) == []


OTHER = '[[procedure]]\nid = "cooling"\napplies = {{ kind = ["{kind}"] }}\n'


def test_a_procedure_of_other_kinds_is_given_to_machines_that_it_knows_nothing_of() -> None:
    """The library has it for kinds that the good flow doesn't ask for: the flow gives it to one of its own."""
    before, after = built(good()), built(files(wording=OTHER.format(kind="front-loader")))
    name, kind = "cooling", {"kind": "front-loader"}
    assert not fits(before.inspections[name].applies, kind) and fits(after.inspections[name].applies, kind)
    assert after.inspections[name].steps == before.inspections[name].steps


def test_no_procedure_is_taken_from_a_machine() -> None:
    """One that the library has for a machine of the flow keeps its machines, and kinds that aren't there are told."""
    taken = '[[procedure]]\nid = "round-front"\napplies = { kind = ["top-hung"] }\n'
    assert any("have it by the library already" in problem for problem in said(files(wording=taken)))
    assert any('no value "frnt"' in problem for problem in said(files(wording=OTHER.format(kind="frnt"))))


def test_what_is_wrong_with_own_words_is_told_where_they_are_written() -> None:
    """Line and column of the flow's own file, not of the library's; and of the library where it is the library's."""
    wording = '[[step]]\nid = "power.settled"\ndo = "Lift it."\n[step.answer]\nturns = "' + "x" * 70 + '"\n'
    found = said(files(wording=wording))
    assert any(problem.startswith('wording.toml:3:6 step "settled": at reach') for problem in found)
    assert any(
        problem.startswith('wording.toml:5:9 step "settled", answer "turns": "says"') for problem in found
    )


def test_what_moved_as_others_were_left_out_is_placed_where_the_library_has_it() -> None:
    """Without its drain filter the count of tools is a step further up; without blocks a tick is, too."""
    index = examine(files('"filter", "support"')).index
    assert index is not None
    for name, step, answer, line in (
        ("library/procedures/leaving/closing.toml", "count", "in", 'id = "in"'),
        ("library/procedures/access/round-front.toml", "seen", "top", 'id = "top"'),
    ):
        steps = index.source.sound[name]["step"]
        at = next(n for n, table in enumerate(steps) if table["id"] == step)
        place = next(n for n, table in enumerate(steps[at]["answer"]) if table["id"] == answer)
        file, row, _column = index.source.place(name, ("step", at, "answer", place, "id"))
        assert (file, good()[name].decode().splitlines()[row - 1]) == (name, line)
        assert index.source.positions[name].of(("step", at, "answer", place, "id"))[0] != row
