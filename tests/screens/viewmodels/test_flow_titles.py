"""The flows by their titles: in the order that they give themselves, and never without a broken one."""

from __future__ import annotations

from pathlib import Path

from wizard.flow.loading.shipped_flows import shipped
from wizard.screens.viewmodels.flow_titles import title_choices


def flow(folder: Path, text: str) -> Path:
    """A folder with this as its main file."""
    folder.mkdir()
    (folder / "flow.toml").write_text(text, encoding="utf-8")
    return folder


def test_the_shaking_washer_comes_first() -> None:
    """Of the shipped flows the first is the one that the program is for."""
    assert [name for name, _ in title_choices(shipped())] == [
        "washer-shake",
        "washer-no-drain",
        "dryer-no-heat",
    ]


def test_place_then_name_and_what_is_broken_by_its_folder(tmp_path: Path) -> None:
    """A place that is no number counts as none; what can't be read has its folder's name for a title."""
    flows = {
        "a": flow(tmp_path / "a", "[flow]\ntitle = 'Last'\nplace = 'first'\n"),
        "b": flow(tmp_path / "b", "flow = 3\n"),
        "c": flow(tmp_path / "c", "[flow\n"),
        "d": flow(tmp_path / "d", "[flow]\ntitle = 'First'\nplace = 2\n"),
        "e": tmp_path / "none",
    }
    assert title_choices(flows) == (("d", "First"), ("a", "Last"), ("b", "b"), ("c", "c"), ("e", "e"))
