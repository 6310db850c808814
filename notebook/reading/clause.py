"""One statement of a remark, and the moods it can have.

In and out: used by the rules of every kind of entry.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from notebook.reading.sheets import Chunk

FACT, QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, EXPECTED = (
    "fact", "question", "usual", "elsewhere", "hypothetical", "expected",
)  # fmt: skip

WARNING, INSTRUCTION, FUTURE = "warning", "instruction", "future"


@dataclass(slots=True)
class Clause:
    """One statement of a remark."""

    chunks: list[Chunk]
    joiner: str = ""
    """The word or sign that joins it to the clause before: "but", "if", ","; empty at the start of a sentence."""
    sentence: int = 0
    mood: str = FACT
    cue: str | None = None
    sentence_end: str = ""
    cues: list[tuple[str, str, int]] = field(default_factory=list)
    """(cue list, words, piece) for every cue that begins in the clause."""

    @property
    def start(self) -> int:
        return self.chunks[0].start

    @property
    def end(self) -> int:
        return self.chunks[-1].end

    @property
    def low(self) -> str:
        return " ".join(c.low for c in self.chunks)

    def words(self) -> tuple[list[str], list[bool]]:
        """Give the words of the clause, and for each whether it can be a verb where it stands."""
        words: list[str] = []
        verbs: list[bool] = []
        for chunk in self.chunks:
            own = chunk.low.split()
            words.extend(own)
            is_verb = chunk.tag in ("V", "B", "G", "E") or chunk.kind not in (
                "part",
                "amount",
                "number",
                "thread",
                "condition",
            )
            verbs.extend([is_verb or (chunk.kind == "condition" and len(own) == 1)] * len(own))
        return words, verbs

    def has(self, *words: str) -> bool:
        """Tell whether any of the words stands in the clause as a chunk's word."""
        text = f" {self.low} "
        return any(f" {w} " in text for w in words)
