"""``steadfoot flow desk``: a flow beside its editor, checked at every save and tried from any of its steps."""

from __future__ import annotations

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import examples


@click.command(epilog=examples("steadfoot flow desk flows/washer-shake", "steadfoot flow desk dryer-cold"))
@click.argument("name", metavar="FLOW")
@click.pass_context
def desk(ctx: click.Context, name: str) -> None:
    """Open a flow, a name or a folder, at a trainer's desk.

    It reads all of the flow anew whenever a file of it is saved: what is wrong with the line, the steps, the cases,
    what differs from what was approved. A step opens as the technician sees it, and the job goes on from there. Jobs
    of customers are not touched: what is tried lies in a folder of its own and goes with the desk.
    """
    import tempfile
    from pathlib import Path

    from wizard import screens
    from wizard.cli.approving.approve_command import refused
    from wizard.platform.system_clock import SystemClock
    from wizard.sessions.session_store import Store

    setting: CommandContext = ctx.obj
    folder = setting.folder_of(name)
    with tempfile.TemporaryDirectory(prefix="steadfoot-desk-", ignore_cleanup_errors=True) as home:
        code = screens.run_desk(Store(Path(home), SystemClock()), folder, refused(folder))
    ctx.exit(code)
