"""`teardown hear`: turn sound files into remarks and entries, storing nothing."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, progress_bars, say_json_line, shop_option, talk, tell_problems
from notebook.commands.read import habit_option
from notebook.errors import COULD_NOT, NotebookError, Problem, one_line


@click.command("hear")
@click.argument("sounds", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--machine", default="machine", help="What kind of machine it is; steers the ear.")
@click.option("--model", default="whisper-base", show_default=True, help="Speech model: a name, or a folder you bring.")
@habit_option
@shop_option
@json_option
def command(
    sounds: tuple[Path, ...], machine: str, model: str, habit: str | None, shop_folder: Path | None, as_json: bool
) -> int:
    """Hear SOUNDS in order, as one job, and write the remarks; nothing is stored."""
    from notebook.audio.ear import Ear
    from notebook.jobs.listening import hear_files
    from notebook.shop import words_of

    problems: list[Problem] = []
    heard = 0
    ear = Ear(model)
    with progress_bars() as progress:
        for said in hear_files(
            sounds, ear, machine=machine, habit=habit, words=words_of(shop_folder), problems=problems, progress=progress
        ):
            heard += 1
            if as_json:
                say_json_line(said)
            else:
                click.echo(
                    f"{one_line(said['file'])} {said['start']:7.2f} {said['end']:7.2f}  {one_line(said['tidied'])}"
                )
    tell_problems(problems)
    if not heard and problems:
        raise NotebookError("Nothing could be heard.", "", COULD_NOT)
    if not heard:
        talk("No speech was found.")
    return 0 if heard else 1
