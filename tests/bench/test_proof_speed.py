"""Speed of checking a flow as ratios in one run: against parsing its files, and as the flow grows."""

import gc
import time
import tomllib
from collections.abc import Callable, Mapping

from tests.bench.budget import within
from tests.helpers.flows.flow_edits import large_files
from tests.helpers.flows.flow_folders import good
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.checks import prove
from wizard.flowcheck.flow_check import check


def seconds(run: Callable[[], object], times: int = 3) -> float:
    """The least processor time of some calls: the least disturbed. Cycles are left alone, as the command does."""
    spent = []
    gc.collect()
    gc.disable()
    try:
        for _ in range(times):
            start = time.process_time()
            run()
            spent.append(time.process_time() - start)
    finally:
        gc.enable()
    return min(spent)


def parsed(content: Mapping[str, bytes]) -> None:
    """Parse every TOML file by the standard library alone."""
    for name, data in content.items():
        if name.endswith(".toml"):
            tomllib.loads(data.decode())


def test_a_thousand_steps_against_parsing_them() -> None:
    """Form and proofs of a thousand steps take at most ten times what parsing them takes (0.2 s for 2 s)."""
    content = large_files(good(), 1000)
    found = examine(content)
    assert found.flow is not None and found.sound, [str(p) for p in found.problems][:5]
    assert sum(len(i.steps) for i in found.flow.inspections.values()) > 1000
    whole, form, floor = (seconds(lambda: check(content)), seconds(lambda: examine(content)),
                          seconds(lambda: parsed(content)))  # fmt: skip
    print(f"1,000 steps: whole {whole:.2f} s, form {form:.2f} s, parsing {floor:.3f} s: {whole / floor:.1f}x")
    within("form and proofs of 1,000 steps", whole / floor, 10, "parsing them")


def test_shipped_flow_against_parsing_it() -> None:
    """The form of the shipped flow takes at most five times what parsing its files takes, the proofs at most six: its
    library has 38 conditions and 25 procedures that every step's needs are proved from.
    """
    content = read_folder(shipped()["washer-shake"])
    found = examine(content)
    assert found.flow is not None
    proofs = seconds(lambda: prove(found.flow, index=found.index))
    form, floor = seconds(lambda: examine(content)), seconds(lambda: parsed(content))
    print(f"washer-shake: proofs {proofs:.2f} s, form {form:.2f} s, parsing {floor:.3f} s")
    within("form of washer-shake", form / floor, 5, "parsing its files")
    within("proofs of washer-shake", proofs / floor, 6, "parsing its files")


def test_proofs_grow_with_the_flow_and_no_faster() -> None:
    """Twice the steps take at most twice the time and a half; the search of the shape doesn't grow at all."""
    flows = {n: examine(large_files(good(), n)).flow for n in (1000, 2000, 4000)}
    times = {n: seconds(lambda flow=flow: prove(flow)) for n, flow in flows.items()}
    print(", ".join(f"{n} steps {t:.2f} s" for n, t in times.items()))
    within("proofs of 2,000 steps", times[2000] / times[1000], 2.5, "of 1,000")
    within("proofs of 4,000 steps", times[4000] / times[2000], 2.5, "of 2,000")
