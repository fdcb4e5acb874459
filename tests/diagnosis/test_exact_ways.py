"""Which way an answer is worked out: each edge of what is always exact, and of the work that an exact way may take."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from wizard.diagnosis.noisy_or import bounds, elimination_order, enumeration, forward_backward, inference

MOST = 1 << 28
"""The numbers that an exact way may touch, where nobody says otherwise."""

BIG = 10**12


def chosen(
    monkeypatch: pytest.MonkeyPatch,
    faults: int,
    findings: int,
    width: int,
    work: int,
    most: int,
    trusted: bool = True,
    severities: int = 1,
) -> tuple[str, float]:
    """The way taken and its error bound, for a pass of this width and work; the ways themselves do nothing."""
    core = SimpleNamespace(
        open_faults=np.ones(faults, bool),
        open_findings=np.ones(findings, bool),
        present=np.zeros((faults, severities)),
        levels=lambda j: 2,
    )
    answer = (np.zeros(faults), 0.0)
    monkeypatch.setattr(elimination_order, "make", lambda core: SimpleNamespace(width=width, work=work))
    monkeypatch.setattr(forward_backward, "sweep", lambda core, plan: answer if trusted else None)
    monkeypatch.setattr(enumeration, "list_all", lambda core: answer)
    monkeypatch.setattr(bounds, "bound", lambda core: (*answer, 0.25))
    _, _, error, way = inference._solve(core, most)
    return way, error


@pytest.mark.parametrize(
    ("faults", "findings", "width", "work", "most", "way"),
    [
        (60, 16, 30, BIG, 1, "pass"),  # sixteen findings always
        (60, 17, 30, BIG, 1, "bounded"),
        (60, 17, 20, 100, 100, "pass"),  # more while it is narrow and short
        (60, 17, 21, 100, 100, "bounded"),
        (60, 17, 20, 101, 100, "bounded"),
        (60, 17, 20, MOST, inference.MOST_WORK, "pass"),
        (60, 17, 20, MOST + 1, inference.MOST_WORK, "bounded"),
        (20, 40, 30, BIG, 1, "list"),  # twenty faults always
        (21, 40, 30, BIG, 1, "bounded"),
        (21, 30, 30, BIG, 32 << 22, "list"),  # (30 + 2) numbers for each of 2 * 2^21 sets
        (21, 30, 30, BIG, (32 << 22) - 1, "bounded"),
        (22, 30, 30, BIG, 32 << 23, "list"),
        (22, 30, 30, BIG, (32 << 23) - 1, "bounded"),
        (23, 30, 30, BIG, 1 << 60, "bounded"),  # and twenty-two at most
        (2, 2, 2, 32, MOST, "pass"),  # the shorter of the two: (2 + 2) * 8
        (2, 2, 2, 33, MOST, "list"),
        (60, 2, 2, BIG, MOST, "pass"),
    ],
)
def test_the_way_is_exact_as_far_as_it_is_promised(
    monkeypatch, faults, findings, width, work, most, way
) -> None:
    expected = (way, 0.25 if way == "bounded" else 0.0)
    assert chosen(monkeypatch, faults, findings, width, work, most) == expected


@pytest.mark.parametrize(("faults", "way"), [(10, "list"), (11, "bounded")])
def test_ten_faults_of_three_severities_have_the_states_of_twenty(monkeypatch, faults, way) -> None:
    assert chosen(monkeypatch, faults, 40, 30, BIG, 1, severities=3)[0] == way


@pytest.mark.parametrize(("faults", "way"), [(20, "list"), (21, "bounded")])
def test_a_pass_that_can_t_be_trusted_gives_way_to_the_next(monkeypatch, faults, way) -> None:
    """The list where it is allowed, though it is longer; else the bounds."""
    assert chosen(monkeypatch, faults, 10, 2, 1, 1, trusted=False)[0] == way


def test_what_is_certain_is_one_and_what_is_excluded_none() -> None:
    """And no rounding passes 1."""
    result = inference.infer([1.0, 0.0, 0.3], [[0.9], [0.9], [0.5]], [0.1], {0: 1.0})
    assert result.probabilities[0] == 1.0 and result.probabilities[1] == 0.0
    assert 0.3 < result.probabilities[2] < 1.0 and result.exact and result.error_bound == 0.0


def test_rounding_makes_nothing_likelier_than_certain(monkeypatch) -> None:
    """A sum of many products may pass 1 by its last digit."""
    above = np.nextafter(1.0, 2.0)
    monkeypatch.setattr(
        inference, "_solve", lambda hard, most: (np.array([[above], [0.5]]), -1.0, 0.0, "pass")
    )
    result = inference.infer([0.5, 0.5], [[0.5], [0.5]], [0.1], {0: 1.0})
    assert list(result.probabilities) == [1.0, 0.5]
