"""A small example for each rule: lines of a flow that break it, and the lines that mend it."""

from __future__ import annotations

_TEXT = """\
# toml
wrong   title = Dampers
right   title = "Dampers"
# encoding
wrong   a file saved as Latin-1
right   the same file saved as UTF-8
# file
wrong   inspections/dampers.txt
right   inspections/dampers.toml
# key
wrong   minuts = 20
right   minutes = 20
# missing
[[step]]                    wrong: no id
kind = "tell"

[[step]]                    right
id = "close"
kind = "tell"
# type
wrong   minutes = "20"
right   minutes = 20
# value
wrong   minutes = -5
right   minutes = 5
# id
wrong   id = "Pull Test"
right   id = "pull-test"
# drawing
wrong   the plain picture is a line shorter than the drawing
right   all three pictures have the same lines
# reference
wrong   limit = "damper-drg"
right   limit = "damper-drag"
# kind
kind = "look"
wrong   reading = { unit = "N", ... }
right   kind = "measure" with that reading
# usual
wrong   two answers of a step with usual = true
right   one of them
# many
many = true
wrong   one answer with next = "pull", another with next = "end"
right   next = "pull" on the step
# items
wrong   reading = { ..., each = "maker" }
right   reading = { ..., each = "dampers" }, a fact with values 2, 3, 4
# answer
wrong   "dampers.bounce" = "wobbles"
right   "dampers.bounce" = "swings"
# reach
step "pull" is third, and both answers of the second have next = "end"
right   next = "pull" on one of them
# end
wrong   every answer of "wait" has next = "wait"
right   one answer of it with next = "end"
# loop
wrong   next = "plug"
right   next = "plug"
        most = 2
        then = "stop:not-ready"
# gate
gate = "proved-dead"
wrong   state = "covered"
right   state = "isolated"
[[tool]] for ohms
wrong   no needs
right   needs = "proved-dead"
# unable
in a gate
wrong   unable = { next = "press" }
right   unable = { stop = "not-ready" }
# bands
wrong   below = 60, then below = 40
right   below = 40, then below = 60, then a last band without an edge
# unit
wrong   a reading in "N" with a limit in "mm"
right   both in units of force
# range
wrong   from = 0, to = 300, usual = 400
right   from = 0, to = 300, usual = 60
# calculator
wrong   compute = { calculator = "spread" }
right   compute = { calculator = "spread", inputs = { values = "dampers.pull" } }
# machine
limit "damper-drag" for dampers = ["3"] alone, used where dampers may be 2
right   a second variant with dampers = ["2"]
# caution
does = ["spin"]
wrong   no caution
right   caution = [{ word = "danger", says = "A spinning drum will break bones." }]
# screen
wrong   an answer of 120 letters
right   the same in 60, the rest in do or expect
# share
wrong   the shares of front-loader come to 74
right   they come to 100
# debt
owe = ["re-level"]
wrong   no step has pay = ["re-level"]
right   pay = ["re-level"] where the machine is levelled
# recheck
confirm = ["dampers.pull"]
wrong   no recheck in its remedy
right   recheck = ["dampers.pull"]
# unused
wrong   a tool that no reading names
right   name it, or take it out
# passed
in the gate to isolated: "Does anything light?"  yes
wrong   next = "plug", most = 2, then = "taps"
right   next = "plug", most = 2, then = "stop:not-ready"
in the same gate: "Look at the plug"  scorched
wrong   says = "Scorched", and nothing else
right   stop = "scorched"
# state
an engine that kept 'isolated' over a restart would be found here;
no flow that passes the other rules is known to break it
# way
inspection "motor" has state = "proved-dead" on every machine
wrong   the only such gate has applies = { kind = ["front-loader"] }
right   a gate for the other kinds as well
# spin
opens = ["front-panel"]
wrong   [[debt]] id = "front-panel"
right   [[debt]] id = "front-panel", before = ["spin"]
# owed
[[debt]] id = "level", before = ["spin"]
wrong   pay = ["level"] only on the step that spins
right   pay = ["level"] in the gate before it
# close
handover = "handover"
wrong   applies = { kind = ["front-loader"] } on it
right   no applies on it
# barred
opens = ["front-panel"], whose debt stands before "water"
wrong   a step of this inspection with does = ["water"]
right   that step in an inspection that opens nothing
# lift
bar "transit" forbids "spin"
wrong   lift = ["transit"] only on the step that spins
right   lift = ["transit"] where the bolts are looked for
# limit
limit "damper-drag" twice, both without applies
right   applies = { dampers = ["2"] } on one, ["3"] on the other
# raise
fault "wiring" has a share of top-loader
wrong   its only finding is asked of a front loader
right   a step on top loaders with finds = { plug-loose = 1.0 }
# rule-out
wrong   yes: finds = { bolts-seen = 1.0 }, no: nothing
right   no: rules_out = { bolts-seen = 1.0 }
# alike
wrong   weights = { belt-worn = 0.8, belt-slack = 0.8 } on every finding
right   a finding with weights = { belt-slack = 0.7 } alone
# case
wrong   no case has confirm = ["wiring"]
right   cases/wiring.toml with confirm = ["wiring"]
# played
wrong   outcome = "declined" where the repair is fitted and proved
right   outcome = "proved"
# aid
wrong   aid = "stopwatch" on a reading in "N"
right   aid = "stopwatch" on a reading in "s"
"""


def _sections(text: str) -> dict[str, str]:
    """The lines below each ``# rule``."""
    found: dict[str, list[str]] = {}
    lines: list[str] = []
    for line in text.splitlines():
        if line.startswith("# "):
            lines = found.setdefault(line.removeprefix("# "), [])
        else:
            lines.append(line)
    return {rule: "\n".join(lines) for rule, lines in found.items()}


EXAMPLES = _sections(_TEXT)
"""Rule -> example."""
