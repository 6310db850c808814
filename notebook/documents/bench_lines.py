"""Writes what happened at the bench as lines: the front without a screen.

In: a message of the bench. Out: one line, or JSON values; None for what is not worth a line.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from notebook.documents.words import entry_words, part_name
from notebook.entries import Entry
from notebook.errors import one_line
from notebook.nouns import Remark

_SMALL = frozenset({"LevelChanged", "QueueChanged", "LogChanged", "FirstLineDropped", "RemarkBegan"})


def entry_line(entry: Entry) -> str:
    """Say an entry with its part: "brake shoe, 2 of 6 cracked"."""
    named = getattr(entry, "component", None) is not None
    words = f"{part_name(entry)}, {entry_words(entry)}" if named else entry_words(entry)
    return one_line(f"{words}  ? {entry.doubt}" if entry.doubt else words)


def message_line(message: Any) -> str | None:
    """Say what happened in one line, or several for a remark with its entries."""
    match type(message).__name__:
        case "RemarkStored":
            remark: Remark = message.remark
            mark = "(left from before) " if message.was_left else ""
            doubt = f"  ? {one_line(remark.doubt)}" if remark.doubt else ""
            lines = [
                f"{remark.order:4}  {mark}{one_line(remark.tidied)}{doubt}",
                *(f"        {entry_line(e)}" for e in remark.entries),
            ]
            return "\n".join(lines)
        case "FirstLineHeard":
            return f"   .. {one_line(message.text)}"
        case "RemarkErased":
            return f"    -  erased: {one_line(message.why)}"
        case "CueTaken":
            return f"    >  {one_line(message.says)}{'  ' + one_line(message.more) if message.more else ''}"
        case "JobOpened":
            return "\n".join(f"    =  {one_line(line)}" for line in message.lines)
        case "AnswerGiven":
            return "\n".join([f"    >  {one_line(message.says)}", *(f"        {one_line(m)}" for m in message.more)])
        case "StepShown":
            state = f" ({message.state})" if message.state != "open" else ""
            picture = f"\n           photo: {one_line(message.picture)}" if message.picture else ""
            needed = "".join(f"\n           {one_line(x)}" for x in message.lines)
            return f"   [{message.number}/{message.of}] {one_line(message.title)}{state}{needed}{picture}"
        case "StepSaid":
            marks = [
                *(f"        = {one_line(x)}" for x in message.fine),
                *(f"        ? {one_line(x)}" for x in message.doubts),
            ]
            head = [f"    >  {message.says}  step {message.number}"] if message.says else []
            return "\n".join([*head, *marks]) or None
        case "RebuildSummed":
            return "\n".join(summed_lines(message))
        case "CautionGiven":
            return f"    !  take care: {one_line(message.says)} {one_line(message.defer)}"
        case "StateChanged":
            return f"    =  {one_line(message.says)}{'  ' + one_line(message.remedy) if message.remedy else ''}"
        case "Trouble":
            return (
                f"    !  {one_line(message.says)} {one_line(message.remedy)}"
                if message.says
                else "    !  That is over."
            )
        case "OutageNoted":
            return f"    !  nothing heard for {(message.ended - message.began).total_seconds():.0f} s: {one_line(message.why)}"
        case "BenchReady":
            return f"    =  ready: {message.first_model}, then {message.model}"
        case "PersonNamed":
            return f"    =  speaking: {one_line(message.person or 'not said')}"
        case "JobClosed":
            return "    =  the job is closed" if message.closed else "    =  the job is open"
    return None


def summed_lines(message: Any) -> list[str]:
    """Say how far a rebuild is: what was not done, what is waited for, what is left in the bags, what is doubtful."""
    out = [f"    =  {message.done} of {message.of} steps done"]
    for title, listed in (
        ("not done", message.not_done), ("waits for", message.waiting), ("left", message.left), ("differs from the sheet", message.doubts),
    ):  # fmt: skip
        out += [
            f"       {title}:" if listed else f"       {title}: nothing",
            *(f"         {one_line(x)}" for x in listed),
        ]
    return out


def message_json(message: Any) -> dict[str, Any] | None:
    """Give what happened as JSON values, with `what` for its kind."""
    name = type(message).__name__
    if name in _SMALL:
        return None
    values: dict[str, Any] = {"what": name}
    for field in fields(message):
        value = getattr(message, field.name)
        if isinstance(value, Remark):
            value = {
                "id": value.id, "order": value.order, "at": value.at.isoformat() if value.at else None, "heard": value.heard,
                "text": value.text, "tidied": value.tidied, "doubt": value.doubt, "entries": [e.to_json() for e in value.entries],
            }  # fmt: skip
        elif hasattr(value, "isoformat"):
            value = value.isoformat()
        elif isinstance(value, float):
            value = round(value, 3)
        values[field.name] = value
    return values
