"""`teardown drop`: let a phone on the workshop network take pictures straight into a job."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option, talk, with_options


@click.command("drop")
@click.argument("number")
@click.option("--address", help="This machine's address on the workshop network; else it is found.")
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port; else any free one.")
@click.option("--tls", is_flag=True, help="Encrypt, with a certificate made on the spot; the phone will warn once.")
@with_options(shop_option)
def command(number: str, address: str | None, port: int, tls: bool, shop_folder: Path | None) -> None:
    """Show a code; the phone that scans it takes pictures straight into job NUMBER, until you stop it with Ctrl-C.

    The page answers only at this machine's address and to who has scanned the code. Nothing can be read with it but
    the thumbnail of the picture just sent.
    """
    from notebook.jobs.dropping import open_drop_for
    from notebook.jobs.opening import find_job, open_archive
    from notebook.photos.card import show_code
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
    server, fingerprint = open_drop_for(
        shop, job, host=address, port=port, tls=tls, log=lambda line: talk(f"! {line}"), taken=lambda name: talk(f"{name} taken in")
    )  # fmt: skip
    click.echo("\n".join(show_code(server.address.url)), color=True)
    click.echo(server.address.url)
    if fingerprint:
        click.echo(f"The phone warns of the certificate. Its SHA-256 must be {fingerprint}")
    talk(f"Scan the code with a phone on this network. Pictures go to job {job.number}. Ctrl-C ends.")
    server.run()
