"""`teardown demo`: run the invented demonstration job from end to end."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import (
    json_option,
    progress_bars,
    say_json,
    shop_option,
    talk,
    tell_problems,
    with_options,
)
from notebook.errors import one_line


@click.command("demo")
@click.option("--session", type=click.Path(path_type=Path), help="Folder of the demonstration session.")
@click.option("--model", default="whisper-base", show_default=True, help="Speech model: a name, or a folder you bring.")
@click.option("--timings", is_flag=True, help="Show time and peak memory by stage.")
@with_options(shop_option, json_option)
def command(session: Path | None, model: str, timings: bool, shop_folder: Path | None, as_json: bool) -> None:
    """Take the invented session in, print its log and answer its question.

    Everything in it is invented, the voices are synthetic, the pictures rendered.
    """
    from notebook.audio.ear import Ear
    from notebook.documents.log_text import log_text
    from notebook.jobs.demo import find_session, run_demo
    from notebook.shop import open_shop

    folder = find_session(session)
    shop = open_shop(shop_folder or Path("build") / "demo_shop")
    with progress_bars() as progress:
        run = run_demo(folder, shop, lambda: Ear(model), progress)
    tell_problems(run.problems)
    assert run.log is not None
    assert run.answer is not None
    assert run.intake is not None
    if as_json:
        say_json(
            {
                "stages": [
                    {"name": s.name, "seconds": round(s.seconds, 3), "peak_mb": round(s.peak_mb, 1)} for s in run.stages
                ],
                "jobs": list(run.answer.jobs),
            }
        )
        return
    click.echo(log_text(run.log))
    click.echo(f"Asked: {one_line(run.answer.question.in_words())}")
    click.echo(one_line(run.answer.sentence))
    for hit in run.answer.hits:
        click.echo(
            f'  {one_line(hit.job_number)}  {one_line(hit.machine)}  {hit.opened:%Y-%m-%d}  "{one_line(hit.text)}"{"  " + one_line(hit.photo) if hit.photo else ""}'
        )
    took = run.intake
    talk(
        f"Taken in now: {took.remarks} remarks, {took.photos} photos; there already: {took.known_remarks} remarks, {took.known_photos} photos. Shop: {one_line(str(shop.folder))}"
    )
    if timings:
        click.echo("")
        click.echo(f"{'stage':34}{'seconds':>9}{'peak MB':>9}")
        for stage in run.stages:
            click.echo(f"{stage.name:34}{stage.seconds:9.2f}{stage.peak_mb:9.0f}")
        click.echo(f"{'all':34}{sum(s.seconds for s in run.stages):9.2f}{max(s.peak_mb for s in run.stages):9.0f}")
