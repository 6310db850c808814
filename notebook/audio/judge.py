"""Judge whether words were said at all, or made up by the ear from noise.

In: the words and the ear's own figures about them. Out: accepted, doubtful (kept, with the doubt told) or invented
(dropped, with the reason told). Never hears anything itself; a pure function over a table of rules.

The limits were set by the project on synthetic remarks of one to four words at three noise levels, and on compressor,
impact wrench, clanks and silence with nobody speaking, with and without a prompt. They lean towards keeping.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from notebook.nouns import Word

Verdict = Literal["accepted", "doubtful", "invented"]

USUAL_INVENTIONS = frozenset(
    (
        "you", "you you", "thank you", "thank you very much", "thanks", "thanks for watching", "thank you for watching",
        "well see you next time", "see you next time", "see you in the next video", "see you later", "bye", "bye bye",
        "please subscribe", "like and subscribe", "subtitles by the community", "the end", "im sorry", "im",
        "okay", "ok", "so", "um", "uh", "hmm", "oh", "i dont know", "i dont know what to do", "its pretty good",
        "music", "applause", "silence", "beep", "ring", "boom", "bop", "buzz", "ding",
    )
)  # fmt: skip
"""What these models write when nobody speaks; common practice (no source) and the trial named above."""


LONGEST_FOR_A_WORD_S = 4.0
"""A word takes about one second, and the voice filter leaves 0.6 s around it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What the ear says of its own words."""

    text: str
    words: tuple[Word, ...]
    seconds: float
    """Length of the sound."""
    no_speech: float
    """Its own estimate that nobody speaks, 0 to 1."""
    mean_log: float
    """Mean log probability of what it wrote, given the prompt."""
    squeezed: float
    """Length of the text over its length compressed: above about 2.4 it goes round in circles."""
    prompt: str = ""

    @property
    def said(self) -> list[str]:
        """The words in lower case, without marks."""
        return re.findall(r"[a-z0-9]+", re.sub("['\N{RIGHT SINGLE QUOTATION MARK}]", "", self.text.lower()))

    @property
    def sure(self) -> float:
        """Mean probability of the words, each counted once, as if there had been no prompt.

        A word that is repeated is always sure the second time, which says nothing.
        """
        first: dict[str, float] = {}
        for word in self.words:
            first.setdefault("".join(re.findall(r"\w+", word.text.lower())), word.probability)
        first.pop("", None)
        return sum(first.values()) / len(first) if first else 0.0

    @property
    def only_usual(self) -> bool:
        """Whether it is nothing but a usual invention, perhaps over and over."""
        said = self.said
        return " ".join(said) in USUAL_INVENTIONS or (self.one_over_and_over and said[0] in USUAL_INVENTIONS)

    @property
    def one_over_and_over(self) -> bool:
        """Whether it is one word, more than once."""
        return len(self.said) > 1 and len(set(self.said)) == 1

    @property
    def is_short_word(self) -> bool:
        """Whether it is one word in little more than the time a word takes; people do say just "Seized."."""
        return len(self.said) == 1 and self.seconds < LONGEST_FOR_A_WORD_S

    @property
    def only_prompt(self) -> bool:
        """Whether every word stands in the prompt."""
        return set(self.said) <= set(re.findall(r"[a-z0-9]+", self.prompt.lower()))


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What is to be done with the words, why, and by which rule."""

    verdict: Verdict
    reason: str | None = None
    rule: str = ""


@dataclass(frozen=True, slots=True)
class JudgingRule:
    """A rule: its name, what follows from it, the reason a person is told, and when it holds."""

    name: str
    verdict: Verdict
    reason: str
    holds: Callable[[Figures], bool]


RULES: tuple[JudgingRule, ...] = (
    JudgingRule("no words", "invented", "no words were heard, only marks", lambda f: not f.said),
    JudgingRule(
        "usual invention", "invented", "a usual invention of the ear, and not surely said",
        lambda f: f.only_usual and (f.no_speech > 0.45 or (f.no_speech > 0.2 and (f.mean_log < -0.9 or f.sure < 0.3))),
    ),
    JudgingRule(
        "usual loop", "invented", "one sound over and over, as the ear writes for a ringing noise",
        lambda f: f.only_usual and f.one_over_and_over and f.no_speech > 0.25,
    ),
    JudgingRule(
        "nobody speaks", "invented", "the ear itself finds nobody speaking and its words unlikely",
        lambda f: f.no_speech > 0.6 and (f.mean_log < -0.9 or f.sure < 0.25),
    ),
    JudgingRule(
        "impossible speed", "invented", "more words than can be said in that time",
        lambda f: len(f.said) >= 8 and len(f.said) / max(f.seconds, 0.1) > 8.0,
    ),
    JudgingRule(
        "prompt said back", "invented", "only words of the vocabulary it was told, which the sound does not bear out",
        lambda f: f.only_prompt and f.sure < 0.22 and f.no_speech > (0.3 if f.is_short_word else 0.17),
    ),
    JudgingRule(
        "not borne out", "invented", "the sound does not bear out the words",
        lambda f: f.sure < 0.1 and f.no_speech > (0.4 if f.is_short_word else 0.17),
    ),
    JudgingRule(
        "perhaps invention", "doubtful", "a usual invention of the ear, hardly heard",
        lambda f: f.only_usual and (f.mean_log < -0.9 or f.sure < 0.3),
    ),
    JudgingRule(
        "round in circles", "doubtful", "the words go round in circles",
        lambda f: f.squeezed > 2.4,
    ),
    JudgingRule(
        "perhaps noise", "doubtful", "may be noise and not words",
        lambda f: f.no_speech > 0.5 or (f.sure < 0.2 and f.mean_log < -0.8) or (f.no_speech > 0.25 and f.sure < 0.3),
    ),
    JudgingRule(
        "hardly heard", "doubtful", "hardly heard: the ear was guessing",
        lambda f: f.mean_log < -1.0,
    ),
)  # fmt: skip
"""Tried in order; the first that holds decides."""


def judge_words(
    text: str,
    words: Sequence[Word],
    *,
    seconds: float,
    no_speech: float,
    mean_log: float,
    squeezed: float,
    prompt: str = "",
) -> Judgement:
    """Judge the words of one remark by the ear's figures about them."""
    figures = Figures(
        text=text,
        words=tuple(words),
        seconds=seconds,
        no_speech=no_speech,
        mean_log=mean_log,
        squeezed=squeezed,
        prompt=prompt,
    )
    for rule in RULES:
        if rule.holds(figures):
            return Judgement(verdict=rule.verdict, reason=rule.reason, rule=rule.name)
    return Judgement(verdict="accepted")
