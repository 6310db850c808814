"""The keys of the bench: each with an id, what it does, the spoken word and the command that do the same.

Out: values. Keys can be changed in shop.toml under [bench.keys], by id.
"""

from __future__ import annotations

from dataclasses import dataclass

from notebook.errors import NotebookError


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchKey:
    """A key and its twins."""

    id: str
    key: str
    does: str
    say: str = ""
    command: str = ""
    hint: str = ""
    """Shown at the foot of the screen; empty where only `?` shows it."""


KEYS = (
    BenchKey(id="listen", key="space", does="stop or start listening; by key: start or stop a remark", say="stop listening", command="bench", hint="listen"),
    BenchKey(id="scratch", key="s", does="strike the last remark out", say="scratch that", command="mend NUMBER REMARK --strike", hint="strike"),
    BenchKey(id="photo", key="p", does="the next picture goes with what was said last", say="photo", command="add NUMBER PICTURE", hint="photo"),
    BenchKey(id="read_back", key="b", does="read the last remark back", say="read that back", command="log NUMBER", hint="back"),
    BenchKey(id="left", key="l", does="what has not been said yet", say="what's left", command="gaps NUMBER", hint="left"),
    BenchKey(id="where", key="w", does="where something was put", say="where are the drum bolts", command="log NUMBER", hint="where"),
    BenchKey(id="type", key="t", does="type a remark", command="add NUMBER FILE.txt", hint="type"),
    BenchKey(id="desk", key="d", does="the desk: play, retype, change, strike, confirm", command="mend NUMBER REMARK", hint="desk"),
    BenchKey(id="step_done", key="f", does="rebuild: the step is done", say="done", command="rebuild NUMBER --step N --done"),
    BenchKey(id="step_torque", key="u", does="rebuild: its torque is set, the step done", say="torque set", command="rebuild NUMBER --step N --torque-set"),
    BenchKey(id="step_next", key="right", does="rebuild: the next step", say="next", command="rebuild NUMBER --step N"),
    BenchKey(id="step_back", key="left", does="rebuild: the step before", say="back", command="rebuild NUMBER --step N"),
    BenchKey(id="step_skip", key="z", does="rebuild: skip the step", say="skip: waiting for the seal", command="rebuild NUMBER --step N --skip WHY"),
    BenchKey(id="who", key="n", does="say who speaks", say="this is Maren speaking", command="bench NUMBER --person NAME"),
    BenchKey(id="mode", key="k", does="one key starts and stops each remark, or the voice does", command="bench NUMBER --by-key"),
    BenchKey(id="look", key="v", does="dark, light, high contrast", command="bench NUMBER --look light"),
    BenchKey(id="close", key="x", does="close the job; asks for a second word or y", say="close the job", command="close NUMBER"),
    BenchKey(id="yes", key="y", does="yes, close it", say="yes, close it", command="close NUMBER"),
    BenchKey(id="no", key="o", does="leave the job open; open it again", say="open it again", command="close NUMBER --again"),
    BenchKey(id="clear", key="escape", does="take away what covers the screen"),
    BenchKey(id="help", key="question_mark", does="these keys", hint="keys"),
    BenchKey(id="quit", key="q", does="end the sitting; what waits is written down first", command="Ctrl-C", hint="end"),
)  # fmt: skip


def check_keys(changes: dict[str, str]) -> dict[str, str]:
    """Give the keys with the shop's changes; raises NotebookError for an unknown id or a key used twice."""
    keys = {k.id: k.key for k in KEYS}
    for name, key in changes.items():
        if name not in keys:
            raise NotebookError(f"shop.toml [bench.keys] names {name!r}.", f"Known are: {', '.join(keys)}.")
        keys[name] = key
    twice = {key for key in keys.values() if list(keys.values()).count(key) > 1}
    if twice:
        raise NotebookError(f"shop.toml [bench.keys] uses {', '.join(sorted(twice))} twice.", "Give each its own key.")
    return keys


def key_name(key: str) -> str:
    """Write a key as it is on the keyboard."""
    return {"question_mark": "?", "escape": "Esc", "space": "Space"}.get(key, key if len(key) == 1 else key.upper())
