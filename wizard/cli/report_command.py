"""``steadfoot session report``: a session as a page for the customer and an annex for the shop."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.foreign.harmless import harmless


@click.command(
    "report",
    epilog=examples(
        "steadfoot session report 2026-11-25-a",
        "steadfoot session report 2026-11-25-a --out ./handover.html",
        "steadfoot session report 2026-11-25-a --pdf",
    ),
)
@click.argument("name", metavar="ID")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE",
    help="Where to write it; a folder gets a file named by the session. [default: HOME/reports]",
)  # fmt: skip
@click.option("--pdf", is_flag=True, help="Write a PDF instead: tagged, PDF/UA-1. It needs the extra 'pdf'.")
@click.option(
    "--customer", type=click.Path(path_type=Path), metavar="FILE",
    help="A TOML file with the customer's name, address and charges. [default: customer.toml of the session]",
)  # fmt: skip
@as_json
@click.pass_obj
def report(
    setting: CommandContext, name: str, out: Path | None, pdf: bool, customer: Path | None, as_json: bool
) -> None:
    """Write a session's report to one file: a page for the customer with photos and pictures of what was measured,
    room for two signatures and the seal; behind it the whole record for the shop.

    It needs nothing else to be read or printed. HOME/shop.toml holds the shop's own name, address, telephone, tax
    number, warranty, logo and prices; each may be left out.
    """
    from wizard.sessions.report_writing import ReportForm, write_report

    name = setting.find(name)
    done = write_report(setting.store, name, out, ReportForm.PDF if pdf else ReportForm.HTML, customer)
    if as_json:
        write_json({"session": name, "file": str(done.path), "bytes": done.size, "notes": list(done.notes)})
        return
    write_lines([f"{harmless(str(done.path))}: session {name}, {done.size / 1000:.0f} kB."], whole=True)
    write_lines(done.notes)
