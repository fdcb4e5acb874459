"""A small example for each rule: lines of a flow that break it, and the lines that fix it."""

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
# known
wrong   known_of = { charge = "seen" }     the answer says nothing of charge
right   known_of = { charge = "measured" }, and so = { charge = ["bled"] }
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
# weight
wrong   finds = { damper-bounces = 0.4 }
right   rules_out = { damper-bounces = 0.6 }
# items
wrong   reading = { ..., each = "maker" }
right   reading = { ..., each = "dampers" }, a fact with values 2, 3, 4
# answer
wrong   "dampers.bounce" = "wobbles"
right   "dampers.bounce" = "swings"
# unreached
step "pull" is third, and both answers of the second have next = "end"
right   next = "pull" on one of them
# end
wrong   every answer of "wait" has next = "wait"
right   one answer of it with next = "end"
# left-out
wrong   says = "The bag was left out", next = "end"        what came before it passed
right   the same with leaves_out = true, or verdict = "fail"
# loop
wrong   next = "plug"
right   next = "plug"
        most = 2
        then = "stop:not-ready"
# unable
wrong   unable = { next = "pres" }
right   unable = { next = "press" }
# reach
wrong   reach = "look" with do = "Press the tub down."
right   reach = "inside"
# strengthen
[[reach]] id = "drum"
wrong   needs = { supply = ["live", "held"] }
right   needs = { supply = ["held"] }
# condition
may = { taps = ["open", "shut"] }
wrong   so = { taps = ["relieved"] }
right   may = { taps = ["open", "shut", "relieved"] }
# latch
wrong   so = { gas = ["stopped"] } on an answer that goes on
right   stop = "gas", whose so is { gas = ["stopped"] }
# establish
needs = { tape = ["yes"] }
wrong   no usual answer of a procedure's step says so = { tape = ["yes"] }
right   procedures = ["ready"], and its step "tape" says so
# proof
in a procedure
wrong   reading = { unit = "V", ... } without a limit
right   limit = "dead-volts"
# graded
usual = 60
scatter = 10
wrong   typical = { mild = 29, moderate = 40, severe = 18 }
right   typical = { mild = 40, moderate = 29, severe = 18 }
# bands
wrong   below = 60, then below = 40
right   below = 40, then below = 60, then a last band without an edge
# unit
wrong   a reading in "N" with a limit in "mm"
right   both in units of force
# takes
wrong   takes = 90, and minutes = 1
right   takes = 20, or minutes = 3
# range
wrong   from = 0, to = 300, usual = 400
right   from = 0, to = 300, usual = 60
# calculator
wrong   compute = { calculator = "spread" }
right   compute = { calculator = "spread", inputs = { values = "dampers.pull" } }
# machine
limit "damper-drag" for dampers = ["3"] alone, used where dampers may be 2
right   a second variant with dampers = ["2"]
# consent
wrong   a remedy with parts, and needs = {}
right   needs = { agreed = ["yes"] }, as consent of flow.toml says
# caution
reach = "run"
wrong   no caution
right   caution = [{ word = "danger", says = "A spinning drum will break bones." }]
# screen
wrong   an answer of 120 letters
right   the same in 60, the rest in do or expect
# share
wrong   the shares of front-loader come to 74
right   they come to 100
# recheck
confirm = ["dampers.pull"]
wrong   no recheck in its remedy
right   recheck = ["dampers.pull"]
# unused
wrong   a tool that no reading names
right   name it, or take it out
# way
wrong   step "open-taps" needs parts = ["on"], and the only step that puts parts on has reach "inside", with
        taps = ["relieved"], where the reach that asks for both is taps = ["open"] first
right   parts stand before taps in the order of conditions, and nothing after it takes them off
# two-steps
wrong   [[condition]] id = "verified", without while
right   while = { supply = ["held", "locked"] }
# close
wrong   step "plug-in" says so = { supply = ["live"] }, and no procedure's step has supply in may
right   a procedure's step with may = { supply = [...] } and so = { supply = ["held"] }
# barred
[[fault]] so = { drum = ["unsound"] }
wrong   its remedy has a reach that needs drum = ["sound"]
right   reach = "inside"
# lift
[[fault]] so = { transit = ["in"] }, and a run needs transit = ["out"]
wrong   its remedy has no may
right   may = { transit = ["in", "out"] } on the remedy, so that it is looked at again
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
# approved
[[reach]] id = "terminals"
wrong   needs = { charge = ["bled"] }, where dead = ["proved"] was approved too
right   dead = ["proved"] put back; or, by a person who judged it: steadfoot flow approve
# weak
wrong   edits = ["limits.toml: limit.rock.band.firm.upto raised"]
right   edits = ["limits.toml: limit.rock.band.firm.up_to raised"], as flow check --weak names it
# case
wrong   no case has confirm = ["wiring"]
right   [[case]] in cases/wiring.toml with confirm = ["wiring"]
# stops
stop = "gas" on an answer of a step in an inspection for kind = ["top-loader"]
wrong   no case has facts = { kind = "top-loader" }
right   one has
# played
wrong   outcome = "declined" where the repair is fitted and proved
right   outcome = "proved"
# sight
wrong   id = "not-known", later = true, in a fact without sight
right   sight = { front = ["off"] } in that fact
# recording
wrong   fills = { strike = "calm" }, whose answer has so = { strike = ["sound"] }
right   fills = { worst = "ramp" }, a step that only tells findings
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
