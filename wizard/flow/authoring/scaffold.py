"""A new flow to begin from: small and sound; a trainer fills it with inspections and faults."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import tomli_w

from wizard.domain.references import StepRef, Target
from wizard.domain.vocabulary import LimitStatus, SignalWord, Verdict
from wizard.errors import UsageError
from wizard.flow.model import (
    Answer,
    AnyStep,
    Band,
    Caution,
    Fact,
    FactValue,
    Fault,
    Finding,
    FlowHead,
    Inspection,
    Limit,
    LookStep,
    MeasureStep,
    Reading,
    Remedy,
    TellStep,
    Tool,
)
from wizard.flow.model.common import LINE, TITLE
from wizard.flow.model.files import FaultsFile, FindingsFile, FlowFile, LimitsFile
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.encode import encode, encode_inspection
from wizard.flow.text_width import columns
from wizard.foreign.portable_name import misnamed

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_ID = 40
MOST_KINDS = 9
_PLAY = StepRef("first", "play")
Table = dict[str, Any]


def new(flow_id: str, title: str, complaint: str, kinds: Mapping[str, str]) -> dict[str, bytes]:
    """Return name -> content of the files of a small flow that passes the check with the library.

    ``kinds`` maps the ids of the kinds of machine to how they are read. UsageError naming what can't be used.
    """
    _usable(flow_id, title, complaint, kinds)
    documents: dict[str, Table] = {
        flow_files.MAIN: encode(_main(flow_id, title, complaint, kinds)),
        flow_files.LIMITS: encode(LimitsFile((_limit(),))),
        flow_files.FINDINGS: encode(FindingsFile(_findings())),
        flow_files.FAULTS: encode(FaultsFile((_loose(kinds), _normal(kinds)))),
        **{f"inspections/{each.id}.toml": encode_inspection(each) for each in _inspections()},
        "cases/first.toml": {"case": [_case(next(iter(kinds))), _case_normal(next(iter(kinds)))]},
    }
    return {name: tomli_w.dumps(document, indent=2).encode() for name, document in documents.items()}


def usable_id(text: str) -> str:
    """Return the text, if it can be an id; else UsageError."""
    if not _ID.fullmatch(text) or len(text) > LONGEST_ID:
        raise UsageError(
            f'"{text}" can\'t be an id. Write small letters, digits and hyphens, at most {LONGEST_ID}'
        )
    if why := misnamed(text):
        raise UsageError(f'"{text}" can\'t be an id, since folders are named by it: {why}. Write another')
    return text


def usable_line(text: str, most: int = LINE) -> str:
    """Return the text, if it is one line of 1 to ``most`` columns, as the check counts them; else UsageError."""
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


def _main(flow_id: str, title: str, complaint: str, kinds: Mapping[str, str]) -> FlowFile:
    """Return flow.toml."""
    values = tuple(FactValue(kind, says) for kind, says in kinds.items())
    head = FlowHead(
        id=flow_id,
        title=title,
        complaint=complaint,
        version="0.1",
        notice="Local codes and the maker's sheet come first. Wiring, gas and structure: licensed trades.",
        kind="kind",
        find=("first",),
        prove=("test-run",),
        leave="leave-waiting",
        handover="handover",
    )
    return FlowFile(
        head,
        (Fact("kind", "Which kind of machine is it?", values, usual=values[0].id),),
        tools=(Tool("rule", "Steel rule", "mm", 0.0005, 0.0003),),
    )


def _limit() -> Limit:
    """Return a limit to be replaced."""
    bands = (
        Band("tight", Verdict.PASS, up_to=0.001),
        Band("slack", Verdict.WATCH, up_to=0.002),
        Band("loose", Verdict.FAIL),
    )
    source = "An estimate, to be replaced"
    return Limit(
        id="play",
        says="Play of the part",
        unit="mm",
        source=source,
        status=LimitStatus.ESTIMATE,
        bands=bands,
    )


def _findings() -> tuple[Finding, ...]:
    """Return findings to be replaced: one for the fault, one for none."""
    return (
        Finding("has-play", "The part has play", 0.05, {"loose-part": 0.9}),
        Finding("as-set", "It does just what was set", 0.05, {"normal": 0.9}),
    )


def _loose(kinds: Mapping[str, str]) -> Fault:
    """Return a fault to be replaced."""
    remedy = Remedy(
        "Tighten the part",
        ("Tighten the part.",),
        15,
        "inside",
        recheck=(Target(_PLAY.inspection, _PLAY.step),),
        caution=(_caution("caution", "Sheet edges cut."),),
        risk="It gets worse with every use.",
    )
    plain = "A part has worked loose."
    return Fault("loose-part", "Part loose", plain, dict.fromkeys(kinds, 90.0), remedy, confirm=(_PLAY,))


def _normal(kinds: Mapping[str, str]) -> Fault:
    """Return the fault that is none."""
    remedy = Remedy("Explain how it runs", ("Show the owner a run.",), 10, "talk")
    plain = "The machine is as its maker built it."
    return Fault("normal", "Normal for its kind", plain, dict.fromkeys(kinds, 10.0), remedy, alone=True)


def _inspections() -> tuple[Inspection, ...]:
    """Return the inspections: one to be replaced, one that proves, one that leaves, one that hands over."""
    tag = TellStep(id="tag", do="Leave the machine closed and tagged.", reach="left-out-of-use")
    owner = TellStep(id="owner", do="Tell the owner what was found and done.", reach="left-in-use")
    return (
        Inspection(
            "first", "First inspection", 10, _first(), caution=(_caution("caution", "Sheet edges cut."),)
        ),
        Inspection("test-run", "Test run", 10, (_run(),), after_only=True),
        Inspection("leave-waiting", "Leave it waiting", 5, (tag,)),
        Inspection("handover", "Handover", 5, (owner,)),
    )


def _first() -> tuple[AnyStep, ...]:
    """Return the steps of an inspection to be replaced."""
    do = "Compare what the customer tells with the settings. Does it do just what was set?"
    yes = Answer(id="yes", finds={"as-set": 1.0})
    no = Answer(id="no", usual=True, rules_out={"as-set": 1.0})
    reading = Reading("mm", 0, 0.02, "rule", repeats=2, usual=0.0)
    play = MeasureStep(
        id="play",
        do="Move the part by hand and measure its play.",
        reach="inside",
        reading=reading,
        limit="play",
        evidence={"has-play": ("loose",)},
    )
    return LookStep(id="settings", do=do, reach="look", answers=(yes, no)), play


def _run() -> LookStep:
    """Return the step of the test run."""
    answers = (
        Answer(id="yes", verdict=Verdict.PASS, usual=True),
        Answer(id="no", verdict=Verdict.FAIL),
    )
    says = "A spinning drum breaks bones. Nobody touches the machine."
    do = "Start the machine. Is the complaint gone?"
    caution = (_caution("danger", says),)
    near = {"people": frozenset({"clear", "someone"}), "program": frozenset({"idle", "running"})}
    idle = {"program": frozenset({"idle"})}
    return LookStep(id="run", do=do, reach="run", needs=idle, may=near, caution=caution, answers=answers)


def _caution(word: str, says: str) -> Caution:
    """Return a warning."""
    return Caution(SignalWord(word), says)


def _case(kind: str) -> Table:
    """Return a case that finds and repairs the fault."""
    return {
        "id": "loose",
        "says": "The part is loose, found and tightened",
        "facts": {"kind": kind},
        "answers": {str(_PLAY): 4.0},
        "after": {str(_PLAY): 0.5},
        "confirm": ["loose-part"],
        "expect": {"top": "loose-part", "confirmed": ["loose-part"], "outcome": "proved"},
    }


def _case_normal(kind: str) -> Table:
    """Return a case that finds nothing to repair."""
    return {
        "id": "normal",
        "says": "It does what was set, and nothing is loose",
        "facts": {"kind": kind},
        "answers": {"first.settings": "yes"},
        "expect": {"top": "normal", "confirmed": ["normal"], "outcome": "no-fault"},
    }
