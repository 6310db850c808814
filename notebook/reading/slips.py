"""Slips of the ear: words the recogniser put in place of the trade's, put right where the words around carry it.

In: tokens, and the words of the parts named so far. Out: tokens with the repaired words, and what was repaired.
Never touches a word unless vocabulary and context both ask for it; what was heard stays in the changes.

Three proofs are taken. A listed slip between the words that give it away ("8 and 6 countersunk", `slips.toml`).
A word that sounds like another and makes a known name with its neighbours ("fraction plate", `sounds_like.csv`).
A word that cannot be a part, standing where a part stands with a fault said of it ("the general's scored").
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from fractions import Fraction
from functools import cache

from notebook.reading.lexicon import Lexicon, standard_lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.numbers import read_number
from notebook.reading.word_files import read_rows, read_toml
from notebook.reading.words import Token

NEAR_IN_A_NAME = {"odd": 0.24, "name": 0.24, "two": 0.17, "thing": 0.2, "spelled": 0.2}
NEAR_VERB_IN_A_NAME = 0.2
NEAR_ALONE = {"odd": 0.15, "name": 0.13, "two": 0.13, "thing": 0.08}
"""How near the sound must be (share of phonemes that differ) by what the heard word is."""
SAME_SOUND = 0.03
NAMED_BEFORE = 0.06
"""How much further off a word may be when the part it would mean was named in the job already."""
SPELLED_ALIKE = 0.78

_NEVER = frozenset(
    "boss gaffer man men lad lads car play his her had will rest the a an is are was were it and of to in on at for with off out up down no not one two or but so as by if be do go got get".split()
)
_BEFORE_PART = frozenset(
    (
        "the a an this that these those my your his its our their both each every all no other same new old one two three four five six "
        "seven eight nine ten left right front rear back inner outer top bottom upper lower inlet exhaust main first second third last"
    ).split()
)
_BE = frozenset(
    "'s is are was were isn't aren't wasn't has have had hasn't haven't looks look feels feel seems".split()
)
_AWAY = frozenset("off out apart".split())
_STOPS = frozenset(", . ; : - ! ?".split())
_VERB = frozenset({"base", "s", "ed"})
_GRAMMAR = frozenset(
    {
        "auxiliary",
        "pronoun",
        "preposition",
        "conjunction",
        "subordinator",
        "determiner",
        "question",
        "base",
        "s",
        "ed",
        "adverb",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """One slip put right: the stretch of the text, what it reads now, and why."""

    source: tuple[int, int]
    meant: str
    why: str


@dataclass(frozen=True, slots=True)
class _Proposal:
    start: int
    end: int
    meant: str
    why: str
    weight: float
    """Smaller is better."""


@dataclass(frozen=True, slots=True)
class _Rule:
    words: tuple[frozenset[str], ...]
    put: tuple[str, ...]
    why: str
    needs_before: frozenset[str]


@cache
def _rules() -> tuple[_Rule, ...]:
    return tuple(
        _Rule(
            tuple(frozenset(w.split("|")) for w in row["words"]), tuple(row["put"]), row["why"],
            frozenset(row.get("needs_before", "").split("|")) - {""},
        )
        for row in read_toml("slips.toml")["slip"]
    )  # fmt: skip


@cache
def _rules_by_word() -> tuple[dict[str, list[_Rule]], list[_Rule]]:
    """Give the rules by the first word they look for, and those that begin with a number."""
    by_word: dict[str, list[_Rule]] = {}
    numeric: list[_Rule] = []
    for rule in _rules():
        first = rule.words[1] if rule.words[0] == {"<start>"} else rule.words[0]
        for word in first:
            if word.startswith("<"):
                numeric.append(rule)
            else:
                by_word.setdefault(word, []).append(rule)
    return by_word, numeric


def _rules_at(token: Token) -> Sequence[_Rule]:
    by_word, numeric = _rules_by_word()
    if token.value is not None or token.low in _NUMBER_WORDS:
        return numeric
    return by_word.get(token.low, ())


@cache
def _sounds() -> dict[str, tuple[str, tuple[tuple[str, float], ...]]]:
    out = {}
    for row in read_rows("sounds_like.csv"):
        near = tuple((w, float(d)) for w, _, d in (m.partition(":") for m in row["meant"].split(";")))
        out[row["heard"]] = (row["sort"], near)
    return out


def mend_slips(
    tokens: Sequence[Token], *, named: AbstractSet[str] = frozenset(), lexicon: Lexicon | None = None
) -> tuple[list[Token], list[Repair]]:
    """Put slips right that the words beside them prove; `named` holds the words of parts named so far in the job."""
    lexicon = lexicon or standard_lexicon()
    repairs: list[Repair] = []
    out = _mend_listed(list(tokens), lexicon, repairs)
    taken: set[int] = set()
    chosen: list[_Proposal] = []
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


# Listed slips


def _mend_listed(tokens: list[Token], lexicon: Lexicon, repairs: list[Repair]) -> list[Token]:
    at = 0
    while at < len(tokens):
        for rule in _rules_at(tokens[at]):
            width = _fits(rule, tokens, at, lexicon)
            if width is None:
                continue
            tokens[at : at + width], done = _put(rule, tokens[at : at + width])
            repairs.extend(done)
            break
        at += 1
    return tokens


def _fits(rule: _Rule, tokens: Sequence[Token], at: int, lexicon: Lexicon) -> int | None:
    """Give how many tokens the rule covers here, or None."""
    words = rule.words
    if words[0] == {"<start>"}:
        if at and tokens[at - 1].low not in _STOPS:
            return None
        words = words[1:]
    if at + len(words) > len(tokens) or (rule.needs_before and (not at or tokens[at - 1].low not in rule.needs_before)):
        return None
    for n, choice in enumerate(words):
        token = tokens[at + n]
        if token.low not in choice and not any(
            c[0] == "<" and _is_of_class(c, tokens, at + n, lexicon) for c in choice
        ):
            return None
    wanted = [w for w in rule.put if w] if words is not rule.words else list(rule.put)
    changes = any(w not in ("=", tokens[at + n].low) for n, w in enumerate(wanted))
    return len(words) if changes else None


_SIZES = frozenset("3 4 5 6 8 10 12 six eight ten five twelve".split())
_FRACTION_WORDS = frozenset("half quarter quarters eighth eighths sixteenth sixteenths".split())

_CLASSES: dict[str, Callable[[Sequence[Token], int, Lexicon], bool]] = {
    "<number>": lambda t, at, _: t[at].value is not None or _ends_number(t, at),
    "<large>": lambda t, at, _: (t[at].value or 0) >= 40,
    "<count>": lambda t, at, _: 0 < (t[at].value or 0) <= 60 or read_number(t[at : at + 1], 0) is not None,
    "<size>": lambda t, at, _: t[at].low in _SIZES,
    "<fraction>": lambda t, at, _: (t[at].value or Fraction(1)).denominator > 1 or t[at].low in _FRACTION_WORDS,
    "<be>": lambda t, at, _: t[at].low in _BE,
    "<thread>": lambda t, at, _: t[at].low == "m" and at + 1 < len(t) and t[at + 1].value is not None,
    "<fastener>": lambda t, at, lexicon: any(
        tuple(x.low for x in t[at : at + n]) in lexicon.fasteners for n in (1, 2, 3)
    ),
}


def _is_of_class(name: str, tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    return name in _CLASSES and _CLASSES[name](tokens, at, lexicon)


def _ends_number(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].is_word and read_number(tokens[at : at + 1], 0) is not None


def _put(rule: _Rule, tokens: Sequence[Token]) -> tuple[list[Token], list[Repair]]:
    put = [w for w in rule.put if w] if len(rule.put) > len(tokens) else list(rule.put)
    out: list[Token] = []
    repairs: list[Repair] = []
    for token, word in zip(tokens, put, strict=False):
        if word in ("=", token.low):
            out.append(token)
        elif word == "" and out:
            out[-1] = replace(out[-1], end=token.end)
            repairs[-1:] = [replace(r, source=(r.source[0], token.end)) for r in repairs[-1:]]
        else:
            text = word.capitalize() if token.start == 0 and token.text[:1].isupper() else word
            out.append(Token(text, word.lower(), token.start, token.end, None, token.glued))
            repairs.append(Repair(source=(token.start, token.end), meant=word, why=rule.why))
    return out, repairs


# Words that sound like a word of the trade


def _proposals(tokens: Sequence[Token], named: AbstractSet[str], lexicon: Lexicon) -> Iterator[_Proposal]:
    sounds = _sounds()
    for at, token in enumerate(tokens):
        if not token.is_word:
            continue
        for end in (at + 1, at + 2):
            if end > len(tokens) or not all(t.is_word for t in tokens[at:end]):
                continue
            heard = _key(tokens[at:end])
            sort, near = sounds.get(heard, ("", ()))
            if end == at + 1 and (heard in _NEVER or _is_trade_word(tokens, at, lexicon)):
                continue
            if not near and end == at + 1 and heard not in lexicon.classes and len(heard) > 4:
                sort, near = "spelled", _spelled_alike(tokens, at)
            for meant, distance in near:
                proposal = _in_a_name(tokens, at, end, sort, meant, distance, lexicon) or _alone(
                    tokens, at, end, sort, meant, distance, named, lexicon
                )
                if proposal is not None:
                    yield proposal


def _key(tokens: Sequence[Token]) -> str:
    return "".join(t.low if t.low.startswith("'") or not n else f" {t.low}" for n, t in enumerate(tokens))


def _is_trade_word(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """A word that is a part, fastener or tool by itself, or stands in a known name here, was heard rightly."""
    low = tokens[at].low
    if any((low,) in words for words in (lexicon.components, lexicon.fasteners, lexicon.tools, lexicon.conditions)):
        return True
    for start in range(max(0, at - 3), at + 1):
        for end in range(at + 1, min(len(tokens), at + 4) + 1):
            phrase = tuple(t.low for t in tokens[start:end])
            if len(phrase) > 1 and (
                phrase in lexicon.components
                or phrase in lexicon.fasteners
                or phrase in lexicon.tools
                or phrase in lexicon.conditions
                or phrase in lexicon.quantities
            ):
                return True
    return False


@cache
def _beside() -> dict[str, frozenset[str]]:
    """Give the words that stand in one name with each word of the components' names."""
    found: dict[str, set[str]] = {}
    for phrase in standard_lexicon().components:
        for word in phrase:
            found.setdefault(word, set()).update(w for w in phrase if w != word and len(w) > 4)
    return {word: frozenset(words) for word, words in found.items()}


def _spelled_alike(tokens: Sequence[Token], at: int) -> tuple[tuple[str, float], ...]:
    """Give words of a name with the word before or behind that are spelled much like the one here."""
    heard = tokens[at].low
    around = {w for n in (at - 1, at + 1) if 0 <= n < len(tokens) for w in _beside().get(tokens[n].low, ())}
    found = []
    for word in around:
        if word[0] == heard[0] and abs(len(word) - len(heard)) <= 2 and singular(word) != singular(heard):
            ratio = SequenceMatcher(None, word, heard).ratio()
            if ratio >= SPELLED_ALIKE:
                found.append((word, round((1 - ratio) / 2, 2)))
    return tuple(sorted(found, key=lambda f: (f[1], f[0]))[:3])


def _in_a_name(
    tokens: Sequence[Token], start: int, end: int, sort: str, meant: str, distance: float, lexicon: Lexicon
) -> _Proposal | None:
    """ "Fraction plate": with what was meant, the words beside it make a known name."""
    classes = lexicon.classes.get(tokens[start].low, frozenset()) if end == start + 1 else frozenset()
    is_grammar = bool(classes & _GRAMMAR) and not lexicon.is_nouny(tokens[start].low)
    if distance > (NEAR_VERB_IN_A_NAME if is_grammar else NEAR_IN_A_NAME[sort]):
        return None
    is_verb = (
        bool(classes & _VERB)
        and (distance > 0.1 or not lexicon.is_nouny(tokens[start].low))
        and end < len(tokens)
        and tokens[end].is_word
        and tokens[end].low not in _BE
    )
    for left in (0, 1, 2):
        for right in (0, 1, 2):
            if not 0 < left + right <= 3 or start - left < 0 or end + right > len(tokens):
                continue
            around = (*tokens[start - left : start], *tokens[end : end + right])
            if not all(t.is_word for t in around):
                continue
            phrase = (
                *(t.low for t in tokens[start - left : start]),
                meant,
                *(t.low for t in tokens[end : end + right]),
            )
            if phrase not in lexicon.components and phrase not in lexicon.fasteners:
                continue
            if (is_grammar or sort == "two") and not _is_noun_slot(tokens, start - left):
                continue
            if (is_verb and not right) or (left and not right and tokens[start - 1].low in _BEFORE_PART):
                continue
            if tokens[start].low == "some" and singular(phrase[-1]) != phrase[-1]:
                continue
            if tokens[start].low in ("break", "breaks") and left == 0 and not _is_noun_slot(tokens, start):
                continue
            return _Proposal(
                start, end, meant, f'sounds like "{" ".join(phrase)}"', distance - 0.3 - 0.1 * (left + right)
            )
    return None


def _is_noun_slot(tokens: Sequence[Token], at: int) -> bool:
    if at == 0:
        return True
    before = tokens[at - 1]
    return before.low in _BEFORE_PART or before.low in _STOPS or before.value is not None or before.low in ("of", "on", "in", "from", "under", "behind", "with", "and", "to", "for")  # fmt: skip


def _alone(
    tokens: Sequence[Token], start: int, end: int, sort: str, meant: str, distance: float, named: AbstractSet[str], lexicon: Lexicon
) -> _Proposal | None:  # fmt: skip
    """ "The general's scored": what was heard is no part, stands where a part stands, and a fault is said of it."""
    is_named = meant in named or singular(meant) in named
    if distance <= SAME_SOUND and _is_modifier(tokens, start, end, meant, lexicon):
        return _Proposal(start, end, meant, f'sounds like "{meant}" before "{tokens[end].low}"', distance)
    if ((meant,) not in lexicon.components and singular(meant) not in lexicon.heads) or sort not in NEAR_ALONE:
        return None
    if distance > NEAR_ALONE[sort] + (NAMED_BEFORE if is_named or _part_before(tokens, start, lexicon) else 0.0):
        return None
    if lexicon.classes.get(tokens[start].low, frozenset()) & _VERB and (
        end >= len(tokens) or tokens[end].low not in _BE
    ):
        return None
    before = tokens[start - 1] if start else None
    follows_part = (
        before is not None and before.is_word and ((before.low,) in lexicon.components or before.low in lexicon.heads)
    )
    is_slot = (
        before is None or before.low in _BEFORE_PART or before.low in _STOPS or before.value is not None or follows_part
    )
    if not is_slot or (before is not None and before.low in _NO_PART_AFTER):
        return None
    is_pointed_at = (before is not None and (before.low in _BEFORE_PART or follows_part)) or _is_numbered(tokens, end)
    has_fault = _fault_follows(tokens, end, meant, lexicon, follows_part=follows_part)
    if sort == "name" and not is_pointed_at and not is_named:
        return None
    if sort == "thing" and not (is_pointed_at and (has_fault or is_named)):
        return None
    is_numbered = _is_numbered(tokens, end)
    same_sound = distance <= SAME_SOUND and is_pointed_at and sort == "odd" and _ends_phrase(tokens, end)
    if not (has_fault or same_sound or is_numbered or (is_named and is_pointed_at and _ends_phrase(tokens, end))):
        return None
    return _Proposal(start, end, meant, f'sounds like "{meant}"', distance)


_NUMBER_WORDS = frozenset(
    (
        "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
        "twenty thirty forty fifty sixty seventy eighty ninety hundred thousand half quarter quarters eighth eighths sixteenth sixteenths point"
    ).split()
)
_NO_PART_AFTER = frozenset("that all each same".split())


def _ends_phrase(tokens: Sequence[Token], at: int) -> bool:
    return (
        at >= len(tokens)
        or not tokens[at].is_word
        or tokens[at].low in _BE
        or tokens[at].low in ("and", "off", "out", "on", "in", "from", "with")
    )


@cache
def _modifiers() -> frozenset[str]:
    return frozenset(phrase[0] for phrase in standard_lexicon().components if len(phrase) > 1)


def _is_modifier(tokens: Sequence[Token], start: int, end: int, meant: str, lexicon: Lexicon) -> bool:
    """ "Break piston": the same sound as a word that begins names, before a word that ends them."""
    if end >= len(tokens) or meant not in _modifiers() or singular(tokens[end].low) not in lexicon.heads:
        return False
    if tokens[end].low in lexicon.unspecific or not _is_noun_slot(tokens, start):
        return False
    return end + 1 >= len(tokens) or not tokens[end + 1].is_word or tokens[end + 1].low in _BE | _AWAY | {"popped", "came", "was", "were", "and", "on", "in"}


def _part_before(tokens: Sequence[Token], start: int, lexicon: Lexicon) -> bool:
    return start > 0 and ((tokens[start - 1].low,) in lexicon.components or tokens[start - 1].low in lexicon.heads)


def _fault_follows(
    tokens: Sequence[Token], at: int, meant: str, lexicon: Lexicon, *, follows_part: bool = False
) -> bool:
    """ "...'s scored", "... is off": a condition or a taking off is said of what stands before."""
    if at >= len(tokens):
        return False
    if tokens[at].low not in _BE:
        return follows_part and (tokens[at].low,) in lexicon.conditions and tokens[at].low.endswith(("ing", "ed"))
    if singular(meant) != meant and tokens[at].low in ("'s", "is", "was", "has") and at + 1 < len(tokens):
        return False
    for n in range(at + 1, min(at + 4, len(tokens))):
        if tokens[n].low in _STOPS:
            return False
        if tokens[n].low in _AWAY and n == at + 1:
            return True
        for width in (3, 2, 1):
            phrase = tuple(t.low for t in tokens[n : n + width])
            if len(phrase) == width and phrase in lexicon.conditions:
                return True
    return False


def _is_numbered(tokens: Sequence[Token], at: int) -> bool:
    """ "Conrad number one's off": what has a number is one of several parts."""
    return at + 1 < len(tokens) and tokens[at].low in ("number", "no.")
