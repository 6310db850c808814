"""Slips of the ear: words the recogniser put in place of the trade's, put right where the words around carry it.

In: tokens, and the words of the parts named so far. Out: tokens with the repaired words, and what was repaired.
Never touches a word unless vocabulary and context both ask for it; what was heard stays in the changes.

Three proofs are taken. A listed slip between the words that give it away ("8 and 6 countersunk", `slips.toml`).
A word that sounds like another and makes a known name with its neighbours ("fraction plate", `sounds_like.csv`).
A word that cannot be a part, standing where a part stands with a fault said of it ("the general's scored").
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from functools import cache

from notebook.reading.lexicon import Lexicon, standard_lexicon
from notebook.reading.listed_slips import mend_listed
from notebook.reading.names_misheard import name_misheard, spelled_alike
from notebook.reading.parts_misheard import SAME_SOUND, part_misheard
from notebook.reading.slip_kinds import Proposal, Repair
from notebook.reading.word_files import read_rows
from notebook.reading.words import Token

_NEVER = frozenset(
    "boss gaffer man men lad lads car play his her had will rest the a an is are was were it and of to in on at for with off out up down no not one two or but so as by if be do go got get".split()
)


@cache
def _sounds() -> dict[str, tuple[str, str]]:
    """Give each word that may be misheard with its sort and the words it sounds like, as the file has them."""
    return {row["heard"]: (row["sort"], row["meant"]) for row in read_rows("sounds_like.csv")}


def _near(meant: str) -> tuple[tuple[str, float], ...]:
    """ "damper:0.12;dampers:0.2": the words and how far off they sound."""
    return tuple((w, float(d)) for w, _, d in (m.partition(":") for m in meant.split(";"))) if meant else ()


def mend_slips(
    tokens: Sequence[Token], *, named: AbstractSet[str] = frozenset(), lexicon: Lexicon | None = None
) -> tuple[list[Token], list[Repair]]:
    """Put slips right that the words beside them prove; `named` holds the words of parts named so far in the job."""
    lexicon = lexicon or standard_lexicon()
    repairs: list[Repair] = []
    out = mend_listed(list(tokens), lexicon, repairs)
    taken: set[int] = set()
    chosen: list[Proposal] = []
    for proposal in sorted(_proposals(out, named, lexicon), key=lambda p: (p.weight, p.start)):
        spots = set(range(proposal.start, proposal.end))
        if not spots & taken:
            taken |= spots
            chosen.append(proposal)
    for proposal in sorted(chosen, key=lambda p: -p.start):
        out[proposal.start : proposal.end] = [_merge(out[proposal.start : proposal.end], proposal.meant)]
        token = out[proposal.start]
        repairs.append(Repair(source=(token.start, token.end), meant=proposal.meant, why=proposal.why))
    return out, repairs


def _merge(tokens: Sequence[Token], meant: str) -> Token:
    first, last = tokens[0], tokens[-1]
    text = meant.capitalize() if first.text[:1].isupper() and first.start == 0 else meant
    return Token(text, meant, first.start, last.end, None, first.glued)


def _proposals(tokens: Sequence[Token], named: AbstractSet[str], lexicon: Lexicon) -> Iterator[Proposal]:
    sounds = _sounds()
    for at, token in enumerate(tokens):
        if not token.is_word:
            continue
        for end in (at + 1, at + 2):
            if end > len(tokens) or not all(t.is_word for t in tokens[at:end]):
                continue
            heard = _key(tokens[at:end])
            sort, listed = sounds.get(heard, ("", ""))
            is_odd = not listed and end == at + 1 and heard not in lexicon.classes and len(heard) > 4
            if not listed and not is_odd:
                continue
            if end == at + 1 and (heard in _NEVER or _is_trade_word(tokens, at, lexicon)):
                continue
            says_fault = end == at + 1 and (heard,) in lexicon.conditions
            near = _near(listed)
            if is_odd:
                sort, near = "spelled", spelled_alike(tokens, at)
            for meant, distance in near:
                if says_fault and distance > SAME_SOUND:
                    continue
                proposal = name_misheard(tokens, at, end, sort, meant, distance, lexicon) or part_misheard(
                    tokens, at, end, sort, meant, distance, named, lexicon
                )
                if proposal is not None:
                    yield proposal


def _key(tokens: Sequence[Token]) -> str:
    return "".join(t.low if t.low.startswith("'") or not n else f" {t.low}" for n, t in enumerate(tokens))


def _is_trade_word(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """A word that is a part, fastener or tool by itself, or stands in a known name here, was heard rightly."""
    low = tokens[at].low
    if any((low,) in words for words in (lexicon.components, lexicon.fasteners, lexicon.tools)):
        return True
    first = max(0, at - 3)
    lows = tuple(t.low for t in tokens[first : at + 4])
    return any(
        lows[start:end] in lexicon.longer
        for start in range(at - first + 1)
        for end in range(max(at - first, start + 1) + 1, len(lows) + 1)
    )
