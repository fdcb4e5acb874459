"""``steadfoot job``: straight to work."""

from __future__ import annotations

import click

from wizard.cli.out import examples
from wizard.cli.setting import Setting


@click.command(
    epilog=examples(
        "steadfoot job", "steadfoot job --flow washer-shake", "steadfoot job --resume 2026-11-25-a"
    )
)
@click.option(
    "--flow", "flow_name", default="", metavar="FLOW", help="The flow to follow: a name or a folder."
)
@click.option("--resume", default="", metavar="ID", help="Take this session up again, through a fresh gate.")
@click.pass_context
def job(ctx: click.Context, flow_name: str, resume: str) -> None:
    """Begin a job, or take one up again, on the full screen."""
    if flow_name and resume:
        raise click.UsageError(
            "A session goes on with the flow it began with. Leave out --flow or --resume.", ctx
        )
    setting: Setting = ctx.obj
    ctx.exit(setting.screens("job", resume, flow_name))
