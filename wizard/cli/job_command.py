"""``steadfoot job``: straight to work."""

from __future__ import annotations

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import examples


@click.command(
    epilog=examples(
        "steadfoot job",
        "steadfoot job --flow washer-shake",
        "steadfoot job --resume 2026-11-25-a",
        "steadfoot job --lines",
    )
)
@click.option(
    "--flow", "flow_name", default="", metavar="FLOW", help="The flow to follow: a name or a folder."
)
@click.option(
    "--resume", default="", metavar="ID", help="Resume this session: what may have changed is asked again."
)
@click.option(
    "--lines",
    is_flag=True,
    help="Question by question as plain text: for screen readers, dumb terminals and slow links.",
)
@click.pass_context
def job(ctx: click.Context, flow_name: str, resume: str, lines: bool) -> None:
    """Begin a job, or resume one, on the full screen or by lines."""
    if flow_name and resume:
        raise click.UsageError(
            "A session goes on with the flow it began with. Leave out --flow or --resume.", ctx
        )
    setting: CommandContext = ctx.obj
    ctx.exit(setting.lines(resume, flow_name) if lines else setting.screens(True, resume, flow_name))
