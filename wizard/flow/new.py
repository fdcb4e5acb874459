"""A new flow to begin from: small, sound, with its gates; a trainer fills it with inspections and faults."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import tomli_w

from wizard.errors import UsageError
from wizard.flow.width import columns

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_ID = 40
TITLE = 40
LINE = 66
MOST_KINDS = 9
_STOP = "not-ready"
Table = dict[str, Any]


def new(flow_id: str, title: str, complaint: str, kinds: Mapping[str, str]) -> dict[str, bytes]:
    """Return name -> content of the files of a small flow that passes the check.

    ``kinds`` maps the ids of the kinds of machine to how they are read. UsageError naming what can't be used.
    """
    _usable(flow_id, title, complaint, kinds)
    first = next(iter(kinds))
    documents = {
        "flow.toml": _main(flow_id, title, complaint, kinds),
        "limits.toml": {"limit": [_limit()]},
        "findings.toml": {"finding": _findings()},
        "faults.toml": {"fault": [_loose(kinds), _normal(kinds)]},
        "inspections/gate-isolate.toml": _isolate(),
        "inspections/gate-proving.toml": _proving(),
        "inspections/first.toml": _first(),
        "inspections/test-run.toml": _test_run(),
        "inspections/leave.toml": _tells(
            "leave", "Leave it safe", ["Put every cover back.", "Tag the machine."]
        ),
        "inspections/handover.toml": _tells(
            "handover", "Handover", ["Tell the owner what was found and done."]
        ),
        "cases/loose.toml": _case(first),
        "cases/normal.toml": _case_normal(first),
    }
    return {name: tomli_w.dumps(document, indent=2).encode() for name, document in documents.items()}


def usable_id(text: str) -> str:
    """The text, if it can be an id; else UsageError."""
    if not _ID.fullmatch(text) or len(text) > LONGEST_ID:
        raise UsageError(
            f'"{text}" can\'t be an id. Write small letters, digits and hyphens, at most {LONGEST_ID}'
        )
    return text


def usable_line(text: str, most: int = LINE) -> str:
    """The text, if it is one line that takes 1 to ``most`` columns, as the check counts them; else UsageError."""
    if not text.strip() or not text.isprintable() or columns(text) > most:
        wide = "" if columns(text) == len(text) else "; a wide one counts as two"
        raise UsageError(f'"{text}" does not fit. Write 1 to {most} characters on one line{wide}')
    return text


def _usable(flow_id: str, title: str, complaint: str, kinds: Mapping[str, str]) -> None:
    """Refuse what the check would refuse."""
    for name in (flow_id, *kinds):
        usable_id(name)
    usable_line(title, TITLE)
    for text in (complaint, *kinds.values()):
        usable_line(text)
    if not 1 <= len(kinds) <= MOST_KINDS:
        raise UsageError(f"a flow is for 1 to {MOST_KINDS} kinds of machine, not {len(kinds)}")


def _main(flow_id: str, title: str, complaint: str, kinds: Mapping[str, str]) -> Table:
    """flow.toml"""
    values = [{"id": kind, "says": says} for kind, says in kinds.items()]
    return {
        "flow": {
            "id": flow_id,
            "title": title,
            "complaint": complaint,
            "version": "0.1",
            "notice": "Local codes and the maker's sheet come first. Wiring, gas and structure: licensed trades.",
            "kind": "kind",
            "find": ["first"],
            "prove": ["test-run"],
            "leave": "leave",
            "handover": "handover",
        },
        "fact": [
            {"id": "kind", "ask": "Which kind of machine is it?", "usual": values[0]["id"], "value": values}
        ],
        "debt": [{"id": "cover", "says": "Put the cover back", "before": ["proving"], "minutes": 5}],
        "stop": [
            {
                "id": _STOP,
                "says": "The machine could not be made safe",
                "call": "The shop; for wiring and the outlet an electrician",
                "make_safe": [
                    "Touch nothing wet.",
                    "Switch the breaker off if the way to it is safe.",
                    "Tag the machine.",
                ],
            }
        ],
        "tool": [{"id": "rule", "says": "Steel rule", "unit": "mm", "resolution": 0.5, "uncertainty": 0.3}],
    }


def _limit() -> Table:
    """A limit to put right."""
    bands = [
        {"id": "tight", "up_to": 1.0, "verdict": "pass"},
        {"id": "slack", "up_to": 2.0, "verdict": "watch"},
        {"id": "loose", "verdict": "fail"},
    ]
    says = "Play of the part"
    return {
        "id": "play",
        "says": says,
        "unit": "mm",
        "source": "An estimate, to be replaced",
        "status": "E",
        "band": bands,
    }


def _findings() -> list[Table]:
    """Findings to put right: one for the fault, one for none."""
    return [
        {"id": "has-play", "says": "The part has play", "leak": 0.05, "weights": {"loose-part": 0.9}},
        {"id": "as-set", "says": "It does just what was set", "leak": 0.05, "weights": {"normal": 0.9}},
    ]


def _loose(kinds: Mapping[str, str]) -> Table:
    """A fault to put right."""
    remedy = {
        "says": "Tighten the part",
        "do": ["Tighten the part."],
        "minutes": 15,
        "state": "isolated",
        "recheck": ["first.play"],
        "risk": "It gets worse with every use.",
    }
    plain = "A part has worked loose."
    share = dict.fromkeys(kinds, 90)
    return {
        "id": "loose-part",
        "says": "Part loose",
        "plain": plain,
        "share": share,
        "confirm": ["first.play"],
        "remedy": remedy,
    }


def _normal(kinds: Mapping[str, str]) -> Table:
    """The fault that is none."""
    remedy = {"says": "Explain how it runs", "do": ["Show the owner a run."], "minutes": 10, "state": "any"}
    plain = "The machine is as its maker built it."
    share = dict.fromkeys(kinds, 10)
    return {
        "id": "normal",
        "says": "Normal for its kind",
        "plain": plain,
        "share": share,
        "alone": True,
        "remedy": remedy,
    }


def _in_gate(step_id: str, do: str, *, ask: bool = False) -> Table:
    """A step of a gate: told, or asked with 'no' stopping work."""
    step: Table = {"id": step_id, "kind": "look" if ask else "tell", "do": do, "unable": {"stop": _STOP}}
    if ask:
        step["answer"] = [{"id": "yes", "usual": True}, {"id": "no", "stop": _STOP}]
    return step


def _isolate() -> Table:
    """The gate to isolated."""
    caution = {
        "word": "danger",
        "says": "Mains voltage kills. Touch nothing wet, and no plug that is hot or scorched.",
    }
    steps = [
        _in_gate("look", "Look at plug, outlet and floor. Are they whole, cool and dry?", ask=True),
        _in_gate("plug", "Switch off, pull the plug with a dry hand, and bag it in sight."),
        _in_gate("dark", "Press start. Does everything stay dark?", ask=True),
        _in_gate("taps", "Shut every tap and let the pressure off into a bucket."),
    ]
    head = {
        "id": "gate-isolate",
        "title": "Isolate the machine",
        "state": "any",
        "gate": "isolated",
        "minutes": 5,
    }
    return {"inspection": {**head, "caution": [caution]}, "step": steps}


def _proving() -> Table:
    """The gate to proving."""
    caution = {"word": "warning", "says": "Moving parts could break bones. Covers on, hands clear."}
    covers = _in_gate("covers", "Put every cover back and count your tools.")
    steps = [
        {**covers, "pay": ["cover"]},
        _in_gate("clear", "Is everybody clear, and the cut-off at hand?", ask=True),
        _in_gate("power", "Plug in. Stand clear of the door and behind nothing that can move."),
    ]
    head = {
        "id": "gate-proving",
        "title": "Ready to run",
        "state": ["isolated", "wet"],
        "gate": "proving",
        "minutes": 4,
    }
    return {"inspection": {**head, "caution": [caution]}, "step": steps}


def _first() -> Table:
    """An inspection to put right."""
    reading = {"unit": "mm", "from": 0, "to": 20, "tool": "rule", "repeats": 2, "usual": 0.5}
    settings = {
        "id": "settings",
        "kind": "look",
        "do": "Compare what the customer tells with the settings. Does it do just what was set?",
        "answer": [
            {"id": "yes", "finds": {"as-set": 1.0}},
            {"id": "no", "usual": True, "rules_out": {"as-set": 1.0}},
        ],
    }
    play = {
        "id": "play",
        "kind": "measure",
        "do": "Move the part by hand and measure its play.",
        "reading": reading,
        "limit": "play",
        "evidence": {"has-play": ["loose"]},
    }
    caution = {"word": "caution", "says": "Sheet edges cut."}
    head = {
        "id": "first",
        "title": "First inspection",
        "state": "isolated",
        "minutes": 10,
        "opens": ["cover"],
    }
    return {"inspection": {**head, "caution": [caution]}, "step": [settings, play]}


def _test_run() -> Table:
    """The test run that proves the repair."""
    answers = [
        {"id": "yes", "verdict": "pass", "usual": True},
        {"id": "no", "verdict": "fail"},
    ]
    do = "Run the machine. Is the complaint gone?"
    caution = {"word": "danger", "says": "A spinning drum breaks bones. Nobody touches the machine."}
    step = {"id": "run", "kind": "look", "do": do, "does": ["spin"], "caution": [caution], "answer": answers}
    head = {"id": "test-run", "title": "Test run", "state": "proving", "minutes": 10, "after_only": True}
    return {"inspection": head, "step": [step]}


def _tells(inspection_id: str, title: str, do: list[str]) -> Table:
    """An inspection that tells what to do, one act a step; the first puts the cover back."""
    steps: list[Table] = [{"id": f"step-{n}", "kind": "tell", "do": text} for n, text in enumerate(do, 1)]
    if len(do) > 1:
        steps[0]["pay"] = ["cover"]
    state = ["covered", "isolated"] if inspection_id == "handover" else "isolated"
    head = {"id": inspection_id, "title": title, "state": state, "minutes": 5}
    return {"inspection": head, "step": steps}


def _case(kind: str) -> Table:
    """A case that finds and mends the fault."""
    expect = {"top": "loose-part", "confirmed": ["loose-part"], "outcome": "proved", "debts": []}
    return {
        "case": {
            "id": "loose",
            "says": "The part is loose, found and tightened",
            "facts": {"kind": kind},
            "answers": {"first.play": 4.0},
            "after": {"first.play": 0.5},
            "confirm": ["loose-part"],
            "expect": expect,
        }
    }


def _case_normal(kind: str) -> Table:
    """A case that finds nothing to mend."""
    return {
        "case": {
            "id": "normal",
            "says": "It does what was set, and nothing is loose",
            "facts": {"kind": kind},
            "answers": {"first.settings": "yes"},
            "expect": {"top": "normal", "confirmed": ["normal"], "outcome": "no-fault", "debts": []},
        }
    }
