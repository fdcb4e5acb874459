"""The flows that come with the program are approved as they are: nothing was changed since that nobody answers for."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import find, shipped
from wizard.flow.parsing.flow_files import digest, read_folder
from wizard.flowcheck.approval import approval_file
from wizard.flowcheck.approval.claim_changes import changes
from wizard.flowcheck.approval.flow_claims import claims


@pytest.mark.parametrize("name", sorted(shipped()))
def test_the_approval_is_whole_and_of_today(name: str) -> None:
    """Every claim is in it and no other. After a change that a person judged: steadfoot flow approve NAME."""
    flow = load(shipped()[name])
    approval = approval_file.load(approval_file.path_of(shipped()[name]))
    assert approval is not None and approval.flow == flow.id
    assert [str(one) for one in changes(approval.claims, claims(flow), flow)] == []
    assert approval.claims == claims(flow)


@pytest.mark.parametrize("name", sorted(shipped()))
def test_it_is_written_as_the_program_writes_it(name: str) -> None:
    """So that the next approval differs by what was changed alone."""
    path = approval_file.path_of(shipped()[name])
    approval = approval_file.load(path)
    assert approval is not None and approval_file.to_toml(approval) == path.read_bytes()


def test_it_is_no_flow_and_no_part_of_one(tmp_path: Path) -> None:
    """It lies beside the folder: no flow more is listed, and the digest stays."""
    folder = shipped()["washer-no-drain"]
    copied = Path(shutil.copytree(folder, tmp_path / "flows" / "washer-no-drain"))
    path = approval_file.path_of(copied)
    without = digest(read_folder(copied))
    shutil.copyfile(approval_file.path_of(folder), path)
    assert path.parent == copied.parent and list(find(tmp_path / "wizard")) == ["washer-no-drain"]
    assert digest(read_folder(copied)) == without
