"""The command that builds the app for phones."""

from __future__ import annotations

from pathlib import Path

import click

from field_app.cli_base import Command, as_json, json_option, say, told
from field_app.words import tr

__all__ = ["COMMANDS"]

_MB = 1_000_000


@click.command(cls=Command)
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--base-url", default="/", show_default=True, metavar="PATH",
              help="Path at which the folder will lie on its host, such as /field-book/.")
@click.option("--serve", "serving", is_flag=True, help="Serve it to this machine afterwards, for trying it.")
@click.option("--port", type=click.IntRange(0, 65535), default=8551, show_default=True, metavar="N",
              help="Port for --serve; 0 picks a free one.")
@json_option
@told
def phone(folder: Path, base_url: str, serving: bool, port: int, for_programs: bool) -> None:
    """Build the app for phones: a folder of static files that works without the network.

    Put the folder on any host with HTTPS, open it once on the phone, and add it to the home screen.

    \b
    Example:
      field-app phone to-host --base-url /field-book/
      field-app phone to-try --serve
    """
    from field_app.phone.build import build  # the other commands don't need the toolkit
    from field_app.phone.serve import serve  # the same

    made = build(folder, base=base_url, say=say)
    if for_programs:
        as_json({"folder": str(folder), "build": made.name, "files": made.files, "bytes_on_disk": made.on_disk,
                 "bytes_over_the_wire": made.over_the_wire})
    else:
        click.echo(tr("{folder}: build {name}, {files} files, {on_disk:.1f} MB on the disk, {over_the_wire:.1f} MB "
                      "over the wire.", folder=folder, name=made.name, files=made.files, on_disk=made.on_disk / _MB,
                      over_the_wire=made.over_the_wire / _MB))
    if serving:
        serve(folder, port, say if for_programs else click.echo)


COMMANDS = (phone,)
