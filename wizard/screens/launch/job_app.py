"""The program as its home screen knows it, and whoever begins a job or resumes one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.screens.program.base_app import BaseApp

if TYPE_CHECKING:
    from wizard.screens.launch.job_host import JobHost


class JobApp(BaseApp):
    """A program that opens sessions. ``flows``: the folders of flows by their names; ``opening``: one is on its way."""

    host: JobHost
    flows: Callable[[], Mapping[str, Path]]
    opening: bool
