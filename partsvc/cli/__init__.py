"""The command line: the same calls as the API, for whoever keeps the service.

Exit codes: 0 done; 1 something is not in order (findings, a broken file); 2 the command was used
wrongly; 3 the request could not be carried out.
"""

from __future__ import annotations

import click

from partsvc.cli.in_and_out import exporting, importing
from partsvc.cli.job_papers import checklist, hand_over, order, reconcile, tags
from partsvc.cli.keeping import backup, check, verify
from partsvc.cli.running import demo, serve, spec


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="partsvc")
def main() -> None:
    """Keeps account of every piece that comes off a vehicle, until all of it is back.

    Begin with `partsvc demo --out demo-out`, or with `partsvc serve --folder FOLDER` and your own
    parts and procedures (`partsvc import`).
    """


for command in (
    serve, demo, importing, exporting, tags, checklist, reconcile, order, hand_over, backup, verify,
    check, spec,
):  # fmt: skip
    main.add_command(command)
