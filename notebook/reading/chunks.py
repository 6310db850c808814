"""Groups words into what a mechanic means by them: parts, conditions, verbs, amounts, cues.

In: pieces, tags and matches. Out: `Chunk`s in order, covering every piece once.
A part chunk knows its name, which one (position), how many, and conditions said before it
("two cracked shoes"). Never decides what is true of what (the findings rules do).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from notebook.reading.amounts import Amount
from notebook.reading.lexicon import Condition, Lexicon, singular
from notebook.reading.matching import Match
from notebook.reading.tidy import Piece


@dataclass(slots=True)
class Chunk:
    """A stretch of pieces [start, end) that means one thing."""

    kind: str
    """`part`, `condition`, `verb`, `aux`, `amount`, `number`, `thread`, `preposition`, `particle`, `conjunction`,
    `subordinator`, `cue`, `adverb`, `adjective`, `question`, `interjection`, `sign`."""
    start: int
    end: int
    low: str
    tag: str = ""
    name: str | None = None
    """Component as said, singular and without position; None for a pronoun or an unspecific noun."""
    position: str | None = None
    count: int | None = None
    of: int | None = None
    determiner: str | None = None
    pronoun: str | None = None
    """`it`, `they`, `one`, `other`, `rest`, `this`... when it points back."""
    is_plural: bool = False
    is_negative: bool = False
    """Said with "no", "neither", "none of"."""
    is_known: bool = False
    """Named in the vocabulary of components."""
    is_unspecific: bool = False
    fastener: str | None = None
    quantity: str | None = None
    tool: str | None = None
    container: bool = False
    owner: str | None = None
    """What it belongs to: "the pinion" in "the pinion's teeth"."""
    adjectives: list[str] = field(default_factory=list)
    attributes: list[tuple[Condition, str]] = field(default_factory=list)
    conditions: tuple[Condition, ...] = ()
    amount: Amount | None = None
    value: Fraction | None = None
    thread: str | None = None
    length_mm: Fraction | None = None
    cue: str | None = None
    """Name of the cue list."""

    @property
    def is_part(self) -> bool:
        return self.kind == "part"


@dataclass(slots=True)
class _Sheet:
    pieces: Sequence[Piece]
    tags: Sequence[str]
    matches: Mapping[int, Sequence[Match]]
    lexicon: Lexicon

    def low(self, at: int) -> str:
        return self.pieces[at].low if 0 <= at < len(self.pieces) else ""

    def tag(self, at: int) -> str:
        return self.tags[at] if 0 <= at < len(self.tags) else "Z"

    def match(self, at: int, label: str) -> Match | None:
        return next((m for m in self.matches.get(at, ()) if m.label == label), None)


# Words that are conditions only when they stand behind the verb ("it's flat"), never before a noun ("flat washer").
_PREDICATE_ONLY = frozenset(
    (
        "flat round free true even hollow thin solid soft hard open black blue brown wet thick fine good "
        "great nice lovely grand tidy decent sharp smooth silent clear bright sound proper well low short "
        "lost away tight light clean dry straight sweet choice right sealing split stiff dead stranded "
        "polished hardened tapered stepped grooved notched fair whole perfect serviceable usable beautiful "
        "cracking champion brand-new excellent spent done finished been crisp mint quiet rounded spring "
        "sealed milky metallic dished stretch hot proud oily greasy coned cupped flush recessed sunk raised "
        "set square intermittent"
    ).split()
)
_NEVER_ALONE = frozenset({"set", "step", "stain", "give", "lift", "shake", "movement", "break", "slip", "drag", "short", "noise", "metal",
                          "water", "carbon", "hole", "holes", "mark", "marks", "wear", "silver", "open", "leak", "blow", "knock", "lip"})  # fmt: skip


def chunk_pieces(
    pieces: Sequence[Piece], tags: Sequence[str], matches: Mapping[int, Sequence[Match]], lexicon: Lexicon
) -> list[Chunk]:
    """Cut a remark into chunks; every piece falls into exactly one."""
    sheet = _Sheet(pieces, tags, matches, lexicon)
    chunks: list[Chunk] = []
    at = 0
    while at < len(pieces):
        chunk = _chunk_at(sheet, at, chunks)
        chunks.append(chunk)
        at = chunk.end
    return _count_pronouns(_join_partitions(_settle_containers(chunks)))


def _settle_containers(chunks: list[Chunk]) -> list[Chunk]:
    """A cup, a case or a pan is a place only where something is put in it; else it is a part: "cup's cracked"."""
    for before, chunk, after in zip([None, *chunks], chunks, [*chunks[1:], None], strict=False):
        if not chunk.container or chunk.name is None:
            continue
        is_put_in = before is not None and (before.kind in ("preposition", "particle") or before.low in _PUT)
        is_numbered = (after is not None and after.kind == "number") or "number" in (chunk.position or "")
        has_fault = (
            after is not None and after.kind == "aux" and not is_put_in
            and any(c.kind == "condition" for c in chunks[chunks.index(after) : chunks.index(after) + 4])
        )  # fmt: skip
        if not (is_put_in or is_numbered) and (has_fault or chunk.count is not None or singular(chunk.name) in _PART_AS_OFTEN):
            chunk.container = False
    return chunks


_PUT = frozenset("bagged boxed binned put goes gone lives live".split())
_PART_AS_OFTEN = frozenset("cup bowl pan case lid boot bucket hook peg cap jug pot".split())


_CUE_LISTS = (
    "double_negation.said", "not_looked.said", "not_negation.said", "aside.said", "hedge.before", "hedge.after", "near_none.before", "negation.before",
    "negation.after", "usual.said", "elsewhere.said", "hypothetical.said", "expected.said", "degree.slight", "degree.moderate",
    "degree.severe", "question.said", "hint.said", "warning.said",
)  # fmt: skip
_CHUNKED_CUES = frozenset(
    {"double_negation.said", "not_looked.said", "not_negation.said", "aside.said", "hedge.before", "hedge.after", "near_none.before",
     "negation.before", "negation.after", "degree.slight", "degree.moderate", "degree.severe", "expected.said"}
)  # fmt: skip


def _chunk_at(sheet: _Sheet, at: int, before: Sequence[Chunk]) -> Chunk:
    piece = sheet.pieces[at]
    if piece.low == "not" and sheet.low(at + 1) == "one" and sheet.low(at + 2) == "of":
        return Chunk("part", at, at + 2, "not one", tag="O", pronoun="none", is_plural=True, is_negative=True)
    if piece.kind == "amount":
        return Chunk("amount", at, at + 1, piece.low, amount=piece.amount, value=piece.value)
    if piece.kind == "thread" and piece.thread is not None:
        return Chunk("thread", at, at + 1, piece.low, thread=piece.thread.name, length_mm=piece.thread.length_mm)
    if piece.kind == "sign":
        return Chunk("sign", at, at + 1, piece.low)
    condition = None if _is_likeness(sheet, at) else _condition_at(sheet, at, before)
    if condition is not None and not _is_subject(sheet, condition):
        return condition
    cue = _cue_at(sheet, at)
    if cue is not None:
        return cue
    part = _part_at(sheet, at)
    if part is not None:
        return part
    return _plain(sheet, at)


def _is_subject(sheet: _Sheet, condition: Chunk) -> bool:
    """A word that may name a part does when something is said of it: "hole's stripped", "lip is worn"."""
    if condition.tag != "noun" or condition.end - condition.start > 1 or condition.low not in _PART_TOO:
        return False
    if sheet.tag(condition.end) not in "SX":
        return False
    after = condition.end + 1
    while sheet.tag(after) in "R":
        after += 1
    return sheet.match(after, "condition") is not None or sheet.tag(after) in "EJ"


_PART_TOO = frozenset(
    "hole holes lip metal mark marks step ridge edge groove grooves pit split taper burr carbon water set drag".split()
)


def _plain(sheet: _Sheet, at: int) -> Chunk:
    kinds = {
        "V": "verb", "B": "verb", "G": "verb", "E": "verb", "X": "aux", "S": "aux", "R": "adverb", "I": "preposition", "K": "particle",
        "C": "conjunction", "U": "subordinator", "W": "question", "H": "interjection", "Q": "number", "J": "adjective", "L": "adjective",
        "Z": "sign", "D": "determiner", "P": "determiner", "N": "part", "O": "part",
    }  # fmt: skip
    tag = sheet.tag(at)
    return Chunk(kinds.get(tag, "adverb"), at, at + 1, sheet.low(at), tag=tag, value=sheet.pieces[at].value)


def _cue_at(sheet: _Sheet, at: int) -> Chunk | None:
    """Give the longest cue that stands as a chunk of its own (a bare "no" or "not" too)."""
    best: Match | None = None
    for match in sheet.matches.get(at, ()):
        if match.label not in _CHUNKED_CUES:
            continue
        if (
            best is None
            or match.end > best.end
            or (match.end == best.end and _CUE_LISTS.index(match.label) < _CUE_LISTS.index(best.label))
        ):
            best = match
    if best is None:
        return None
    low = " ".join(sheet.low(i) for i in range(best.start, best.end))
    if best.label.startswith("degree") and not _is_degree(sheet, best):
        return None
    if low == "no" and sheet.tag(at) == "H":
        return None
    if low in ("may", "likely", "fear", "doubt", "neither", "the odd", "nothing") and sheet.tag(at) in "NJ":
        return None
    if (
        low in ("neither", "none of", "not one of", "nothing")
        and sheet.low(best.end - (1 if low.endswith(" of") else 0)) == "of"
    ):
        return None
    if low == "not the" or low == "not one":
        return Chunk("cue", at, at + 1, "not", cue="negation.before")
    return Chunk("cue", best.start, best.end, low, cue=best.label)


def _is_degree(sheet: _Sheet, match: Match) -> bool:
    """A degree word counts only before a condition: "light scoring", not "light housing"."""
    at = match.end
    for _ in range(3):
        if sheet.match(at, "condition") and not (
            sheet.match(at, "component") and sheet.tag(at) == "N" and sheet.tag(at + 1) == "N"
        ):
            return True
        if sheet.tag(at) not in "RJID" and sheet.low(at) not in ("of", "a", "bit"):
            return False
        at += 1
    return False


def _condition_at(sheet: _Sheet, at: int, before: Sequence[Chunk]) -> Chunk | None:
    match = sheet.match(at, "condition")
    if match is None:
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    conditions: tuple[Condition, ...] = match.meaning
    chosen = _choose_form(sheet, match, low, conditions, before)
    if chosen is None:
        return None
    return Chunk("condition", match.start, match.end, low, tag=chosen.form, conditions=(chosen,))


def _choose_form(
    sheet: _Sheet, match: Match, low: str, conditions: Sequence[Condition], before: Sequence[Chunk]
) -> Condition | None:
    """Decide whether the words are a condition here, and as what kind of word."""
    start, end = match.start, match.end
    forms = {c.form: c for c in conditions}
    longer = max(
        (m.end for m in sheet.matches.get(start, ()) if m.label in ("component", "fastener", "tool")), default=start
    )
    if longer > end:
        return None
    if longer == end and end - start >= 2:
        return None
    previous, following = sheet.tag(start - 1) if start else "Z", sheet.tag(end)
    tag = sheet.tag(start)
    one_word = end - start == 1
    if _inside_name(sheet, start, end):
        return None
    if one_word and tag in ("H",):
        return None
    if low in _AFTER_BE and not (
        (before and before[-1].low in _BE_FORMS)
        or (len(before) > 1 and before[-1].kind in ("adverb", "cue") and before[-2].low in _BE_FORMS)
    ):
        return None
    if low in ("let go", "letting go", "lets go") and not any(
        (c.name or "").split()[-1:] == [w]
        for c in before
        if c.is_part
        for w in ("seal", "gasket", "hose", "joint", "union", "gland", "valve", "lining", "weld", "bond")
    ):
        return None
    if not _fits_here(sheet, match, low, forms, before):
        return None
    if low == "shot" and sheet.low(end) in ("of", ""):
        return None
    if (
        one_word
        and "adjective" in forms
        and sheet.low(start - 1) in ("'ve", "have", "had", "'d")
        and sheet.low(start - 2) in ("i", "we", "you", "they", "he", "she")
        and following in "DPNO"
    ):
        return None
    if (
        following == "O"
        and sheet.low(end) in ("it", "them", "that", "him", "her")
        and "verb" not in forms
        and sheet.tag(end + 1) not in "SXV"
    ):
        return None
    if one_word and tag == "B" and previous == "I":
        return None
    noun_before = (
        previous in "DPQ"
        or (before and before[-1].cue in _NOUN_CUES)
        or sheet.low(start - 1) in ("of", "any", "some", "no", "got", "got")
    )
    if following in "NL" and one_word and not _is_clause_after(sheet, end):
        if "adjective" in forms and low not in _PREDICATE_ONLY and sheet.tag(end) == "N":
            return (
                None
                if _is_predicate(sheet, start, before) is False and _part_follows(sheet, end)
                else _adjective_or_none(sheet, forms, start, end, before)
            )
        if low in _PREDICATE_ONLY and not _is_after_be(sheet, start, before):
            return None
        if (
            "adjective" not in forms
            and "noun" in forms
            and sheet.tag(end) == "N"
            and low not in ("scoring", "pitting", "cracks", "burrs")
        ):
            return None
    is_verdict = low in _PREDICATE_ONLY or ("adjective" in forms and forms["adjective"].polarity == "good")
    if one_word and is_verdict and "adjective" in forms and not _is_predicate(sheet, start, before):
        if "noun" in forms and noun_before:
            return forms["noun"]
        return None
    if (
        "noun" in forms
        and ("adjective" not in forms or noun_before)
        and ("verb" not in forms or noun_before or tag in "NG")
    ):
        if (
            one_word
            and low in _NEVER_ALONE
            and not (noun_before or _has_there(before) or previous in "JI" or _owned(sheet, start))
        ):
            return forms.get("verb") if tag in "V" else None
        return forms["noun"]
    if "adjective" in forms:
        return forms["adjective"]
    if "verb" in forms:
        if tag in "NGJ" and "noun" not in forms:
            return None
        if tag in "NB" and "noun" in forms:
            return forms["noun"]
        return forms["verb"] if tag != "B" or previous not in "I" else None
    return None


def _adjective_or_none(
    sheet: _Sheet, forms: Mapping[str, Condition], start: int, end: int, before: Sequence[Chunk]
) -> Condition | None:
    return forms["adjective"] if _is_after_be(sheet, start, before) and not _part_follows_tightly(sheet, end) else None


def _part_follows_tightly(sheet: _Sheet, at: int) -> bool:
    return sheet.tag(at) == "N" and not _is_clause_after(sheet, at)


_FEATURES = frozenset("notch groove flat lip step hole holes mark marks ridge taper slot chamfer dimple".split())
_PASTS = frozenset(
    "broke broken tore wore bent split cracked dropped snapped chipped blew blown spun stripped marked scored burnt cut dented sheared ripped loose picked".split()
)


def _is_adverb(low: str, following: str) -> bool:
    """ "Snapped clean in half", "dead in line": says how, not what it is like."""
    if low == "dead":
        return following in ("in", "on", "centre", "central", "level", "straight", "true", "square", "easy", "right", "flat")
    return low == "clean" and following in _CLEAN_THROUGH


_NEVER_NAMED = frozenset({"set", "metal", "water", "carbon"})
_CLEAN_THROUGH = frozenset("in off through out away across round over up to".split())


def _is_likeness(sheet: _Sheet, start: int) -> bool:
    """ "Dry as a chip", "hard as a rock", "like a drum": what something is likened to is no condition."""
    first = start - 1 if sheet.tag(start) not in "DP" else start
    return sheet.low(first - 1) in ("as", "like") and sheet.low(first) in ("a", "an", "the", "as")


def _fits_here(sheet: _Sheet, match: Match, low: str, forms: Mapping[str, Condition], before: Sequence[Chunk]) -> bool:
    """Leave out words that only look like a condition where they stand."""
    start, end = match.start, match.end
    previous, following = sheet.low(start - 1) if start else "", sheet.low(end)
    tag, next_tag = sheet.tag(start), sheet.tag(end)
    if low in _FEATURES and previous in ("its", "their", "his", "her", "your", "each", "every"):
        return False
    if low in ("hole", "holes"):
        return following in ("in", "through", "worn", "right", "you", "the", "where") and (
            previous in ("a", "an", "another", "no", "big", "small", "got", "worn", "two") or start == 0
        )
    if low == "hooked":
        return any("tooth" in (c.name or "") or "sprocket" in (c.name or "") for c in before)
    if _is_adverb(low, following):
        return False
    if tag == "G" and previous in ("from", "without", "stop", "stops", "prevent", "avoid"):
        return False
    if low in ("flat", "flats") and sheet.tag(start - 1) == "N" and following not in ("on", "in", "at"):
        return False
    if low in ("give", "rock", "slip", "lift") and (following == "or" or (tag == "N" and following == "of")):
        return False
    if low == "round":
        return (following not in ("the", "a", "it", "its", "to", "here", "and") and _is_after_be(sheet, start, before)) or previous in ("dead", "perfectly", "nice")
    if low in ("blow", "blown", "blows") and following == "me":
        return False
    if previous == "something" or (low == "well" and previous == "as"):
        return False
    if low == "lost" and following in ("its", "their", "a", "the", "some", "his", "her", "all", "most", "one", "two"):
        return False
    if low in ("spun", "spinning", "turned") and _last_word(before) not in _SPINS:
        return False
    if low == "open" and not _ELECTRIC & set(" ".join(c.low for c in before[-4:]).split()):
        return False
    if low == "marked" and (sheet.pieces[end].kind in ("number", "amount") if end < len(sheet.pieces) else False):
        return False
    if low == "turned" and not (previous in ("has", "have", "'s", "'ve", "had") and next_tag in "ZCUS"):
        return False
    if low == "spun" and (following in ("by", "it", "the", "her", "out", "off", "on", "in", "up", "over", "freely") or previous in ("i", "we")):
        return False
    if low == "stuck" and following in ("to", "a", "the", "it", "them"):
        return False
    if low in ("slip", "slips", "slipping") and following in ("of", "on", "off", "the", "in", "out"):
        return False
    if low in ("metal", "carbon", "water") and sheet.tag(start - 1) == "N" and start:
        return False
    if (
        low in _PASTS
        and tag in ("V", "E")
        and next_tag in "DPO"
        and following not in ("it's", "that", "all", "both")
        and not _is_after_be(sheet, start, before)
        and (not _is_done_by_part(before) or _is_broken_loose(sheet, end))
    ):
        return False
    if low == "cracked" and following in ("with", "off", "it", "them", "loose", "open"):
        return False
    if low in _COMING_OFF and _last_word(before) not in _LAID_ON:
        return False
    if low == "loose" and any(c.low in _BREAKS for c in before[-4:]):
        return False
    return True


def _is_done_by_part(before: Sequence[Chunk]) -> bool:
    """ "It stripped the hole", "the tip scored the drum": what a part did to another, not what the speaker did."""
    subject = next((c for c in reversed(before) if c.is_part), None)
    return subject is not None and (subject.pronoun in ("it", "that", "which", "they") or subject.name is not None)


def _is_broken_loose(sheet: _Sheet, at: int) -> bool:
    """ "Broke those loose", "cracked it off": undoing, not damage."""
    return any(sheet.low(n) in ("loose", "free", "off", "out", "away", "open") for n in range(at, at + 4))


def _last_word(before: Sequence[Chunk]) -> str:
    part = next((c for c in reversed(before) if c.is_part and c.name), None)
    return (part.name or "").split()[-1] if part is not None and part.name else ""


_SPINS = frozenset("bearing race ring bush bushing shell insert liner sleeve hub cup cone journal pin collar wheel pulley gear".split())
_ELECTRIC = frozenset(
    "coil coils winding windings phase phases fuse fuses circuit wire wires element elements diode diodes motor switch contacts contact sensor field lead leads one resistor heater".split()
)
_COMING_OFF = frozenset({"lifted", "lifting", "come away", "coming away", "peeled", "peeling", "peeling off", "come unstuck"})
_LAID_ON = frozenset(
    (
        "lining liner paint chrome plating facing rubber coating gasket pad friction laminate veneer track trace seat shoe "
        "strip label cover lagging lino tread material"
    ).split()
)
_BREAKS = frozenset(
    "broke break breaks cracked crack worked work shook shake got get came come backed eased let tapped knocked rattled".split()
)
_AFTER_BE = frozenset({"done", "spent", "finished", "wet", "blue", "done for", "well"})
_BE_FORMS = frozenset("is are was were 's 're be been being look looks looked isn't aren't gone going".split())
_NOUN_CUES = frozenset(
    {"negation.before", "near_none.before", "degree.slight", "degree.moderate", "degree.severe", "hedge.before"}
)


def _inside_name(sheet: _Sheet, start: int, end: int) -> bool:
    """Tell whether the words lie inside a longer name that began earlier ("seal lip", "split pin")."""
    for begin in range(max(0, start - 3), start):
        for match in sheet.matches.get(begin, ()):
            if (
                match.label in ("component", "fastener", "tool", "quantity")
                and match.end >= end
                and match.start < start
            ):
                return True
    return False


def _is_after_be(sheet: _Sheet, start: int, before: Sequence[Chunk]) -> bool:
    for chunk in reversed(before[-4:]):
        if chunk.kind == "aux" or chunk.low in LINKS:
            return True
        if chunk.kind not in ("adverb", "cue", "determiner", "condition", "conjunction") and chunk.low != ",":
            return False
    return False


LINKS = frozenset(
    (
        "gone went looks look feels feel seems seem came come comes runs run turns turn looking feeling "
        "running spins went measured sounds sound looked felt seemed stayed going getting got getting left "
        "came found ran smells turned ended"
    ).split()
)


def _is_predicate(sheet: _Sheet, start: int, before: Sequence[Chunk]) -> bool:
    """Tell whether an adjective is said of what went before: "bore's flat", "springs all good", "it, dry"."""
    if _is_after_be(sheet, start, before):
        return True
    previous = sheet.tag(start - 1) if start else "Z"
    following = sheet.tag(start + 1)
    if previous in "RNOKQ" and following in "ZCURIX":
        return True
    if previous in "VBG" and following in "ZCUR" and sheet.low(start - 1) in _MOVES:
        return True
    if previous == "Z" and following in "ZCR" and start:
        return True
    if sheet.low(start - 1) in ("all", "both", "and", "or", "but", "nice", "still", "as", "pretty", "dead", "bone"):
        return following not in "N"
    return False


_MOVES = frozenset(
    "flow flows run runs turn turns work works move moves slide slides spin spins roll rolls seat seats go goes feel feels look looks came come comes sit sits measure measures".split()
)


def _has_there(before: Sequence[Chunk]) -> bool:
    return any(
        c.low in ("there", "got", "has", "have", "had", "with", "find", "found", "see", "feel") for c in before[-4:]
    )


def _owned(sheet: _Sheet, start: int) -> bool:
    return start > 0 and sheet.tag(start - 1) == "N"


def _part_follows(sheet: _Sheet, at: int) -> bool:
    return sheet.tag(at) == "N"


def _is_clause_after(sheet: _Sheet, at: int) -> bool:
    """Tell whether a noun phrase with a verb of its own begins here ("... no bother | filler plug's tight")."""
    steps = at
    while steps < len(sheet.pieces) and steps < at + 5 and sheet.tag(steps) in "NLJDPQ":
        steps += 1
    return steps > at and sheet.tag(steps) in ("S", "X", "V")


# --- parts -----------------------------------------------------------------------------------------------


def _part_at(sheet: _Sheet, at: int) -> Chunk | None:
    tag = sheet.tag(at)
    low = sheet.low(at)
    if tag == "O" and low not in ("nothing", "something", "anything", "everything"):
        return Chunk(
            "part",
            at,
            at + 1,
            low,
            tag="O",
            pronoun=_pronoun(low),
            is_plural=low in ("they", "them", "these", "those", "ones", "'em", "em", "both", "others"),
        )
    if tag not in "DPQLJNT" and not (low == "off" and sheet.low(at + 1) == "side" and sheet.tag(at - 1) not in "VEBN"):
        return None
    if (
        tag == "Q"
        and sheet.pieces[at].kind == "number"
        and sheet.low(at) != "one"
        and sheet.tag(at + 1) not in "NLJ"
        and sheet.low(at + 1) not in ("of", "other")
    ):
        return Chunk("number", at, at + 1, low, tag="Q", value=sheet.pieces[at].value)
    return _noun_phrase(sheet, at)


def _pronoun(low: str) -> str:
    return {"they": "they", "them": "they", "'em": "they", "em": "they", "it": "it", "one": "one", "ones": "ones"}.get(
        low, low
    )


def _noun_phrase(sheet: _Sheet, at: int) -> Chunk | None:
    """Read determiner, count, positions, adjectives, conditions and nouns into one part."""
    part = Chunk("part", at, at, "")
    nouns: list[str] = []
    positions: list[str] = []
    i = at
    while i < len(sheet.pieces):
        tag, low = sheet.tag(i), sheet.low(i)
        if (
            tag in "DP"
            and not nouns
            and not positions
            and (i == at or sheet.low(i - 1) in ("all", "both", "half", "each", "of"))
        ):
            part.determiner = low
            part.is_negative |= low in ("no", "neither", "none")
            if low in ("both", "neither"):
                part.count = part.of = 2
            i += 1
        elif low in ("number", "no.", "numbers") and sheet.tag(i + 1) == "Q":
            positions.append(f"number {_say_number(sheet, i + 1)}")
            i += 2
            if not nouns and sheet.low(i) in ("and", "&") and sheet.tag(i + 1) == "Q":
                positions[-1] += f" and {_say_number(sheet, i + 1)}"
                i += 2
        elif tag == "Q" and not nouns and sheet.low(i + 1) in _WAYS and sheet.tag(i + 2) in "NJ":
            i += 2
        elif (
            tag == "Q"
            and not nouns
            and (value := sheet.pieces[i].value) is not None
            and value.denominator == 1
            and not positions
        ):
            part.count = int(value)
            i += 1
        elif nouns and tag in "LJ" and sheet.tag(i + 1) in "SXZV":
            break
        elif low == "off" and not nouns and sheet.low(i + 1) in ("side", "hand") and (i == at or sheet.tag(i - 1) in "DP"):
            positions.append("off")
            i += 1
        elif tag == "L" or (tag == "J" and low in _POSITIONAL) or (low in ("left", "right") and tag in "LJ"):
            positions.append(low)
            i += 1
            if sheet.low(i) == "hand" and low in ("left", "right"):
                i += 1
            if sheet.low(i) in ("and", "&") and sheet.tag(i + 1) in "LJ" and sheet.low(i + 1) in _POSITIONAL:
                positions[-1] += f" and {sheet.low(i + 1)}"
                i += 2
        elif not nouns and (found := _attribute(sheet, i)) is not None:
            part.attributes.append(found[0])
            i = found[1]
        elif tag == "J" and not nouns:
            part.adjectives.append(low)
            i += 1
        elif tag == "R" and not nouns and low in ("very", "quite", "really", "nearly", "almost", "about") and i > at:
            i += 1
        elif (tag in "NJ" or (tag in "EV" and sheet.tag(i + 1) == "N")) and not nouns and (named := _named_condition(sheet, part, at, i)) is not None:
            return named
        elif low in ("end", "side") and positions and not nouns and tag == "N" and sheet.tag(i + 1) == "N":
            positions[-1] += f" {low}"
            i += 1
        elif nouns in (["rest"], ["others"], ["remainder"]) and sheet.match(i, "condition"):
            break
        elif nouns and (low == "ones" or (low == "one" and sheet.tag(i + 1) in "SX")):
            part.adjectives.extend(nouns)
            nouns = [low]
            i += 1
            break
        elif tag == "J" and not nouns and positions and sheet.tag(i + 1) in "ZR" and sheet.match(i, "condition"):
            break
        elif nouns in (["side"], ["end"]) and part.determiner and not (positions or part.adjectives) and _is_clause_after(sheet, i):
            break
        elif tag == "N" or (tag == "J" and nouns and sheet.tag(i + 1) == "N") or (low in ("one", "ones") and not nouns):
            if _condition_head(sheet, i, nouns) is not None:
                break
            nouns.append(low)
            i += 1
        elif low == "'s" and tag == "P" and nouns:
            part.owner = _name_of(nouns)
            nouns = []
            i += 1
        else:
            break
    return _finish_part(sheet, part, at, i, nouns, positions)


_WAYS = frozenset(
    "speed way leg jaw cylinder stage piece phase start row point pin pole throw stroke speeds ply inch pound ton hole bolt".split()
)
""" "Three speed hub": the number belongs to the name."""
_POSITIONAL = frozenset(
    (
        "left right inner outer front rear back top bottom upper lower inside outside near far first second "
        "third fourth fifth sixth seventh eighth inboard outboard inlet exhaust nearside offside middle "
        "centre central leading trailing rearmost foremost port starboard outermost innermost topmost last "
        "intake"
    ).split()
)


def _say_number(sheet: _Sheet, at: int) -> str:
    words = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    value = sheet.pieces[at].value
    if value is not None and value.denominator == 1 and 0 <= value < len(words):
        return words[int(value)]
    return sheet.low(at)


_HELD = frozenset("stiff tight dead hard soft thin loose flat open dry hot".split())
""" "Has a stiff link": words that are conditions before a noun only in what something has."""


def _attribute(sheet: _Sheet, at: int) -> tuple[tuple[Condition, str], int] | None:
    """Read a condition before its noun: "cracked shoe", "worn out bush"."""
    match = sheet.match(at, "condition")
    if match is None or (sheet.tag(match.end) not in "NLJ" and not sheet.match(match.end, "condition")):
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    if (low in _PREDICATE_ONLY and not (low in _HELD and sheet.low(at - 1) in ("a", "an", "one", "two") and sheet.low(at - 2) in ("has", "got", "have", "with"))) or (
        sheet.match(at, "component") and sheet.match(at, "component").end > match.end  # type: ignore[union-attr]
    ):
        return None
    adjective = next((c for c in match.meaning if c.form == "adjective"), None)
    if adjective is None or not _reaches_noun(sheet, match.end):
        return None
    return (adjective, low), match.end


def _reaches_noun(sheet: _Sheet, at: int) -> bool:
    steps = at
    while steps < len(sheet.pieces) and sheet.tag(steps) in "JL":
        steps += 1
    return (
        (sheet.tag(steps) == "N" and not _is_clause_after(sheet, at))
        or sheet.low(steps) in ("one", "ones")
        or (sheet.tag(steps) == "N" and sheet.tag(at - 2) in "DPQ")
    )


def _condition_head(sheet: _Sheet, at: int, nouns: Sequence[str]) -> int | None:
    """Stop a name where a condition noun ends it: "bearing | play", "tooth | wear"."""
    match = sheet.match(at, "condition")
    if match is None or not nouns or _inside_name(sheet, match.start, match.end):
        return None
    if sheet.match(at, "component") or sheet.match(at, "fastener"):
        if sheet.low(at) not in ("wear", "play", "lip", "damage"):
            return None
    if (
        any(c.form in ("noun", "verb") for c in match.meaning)
        and sheet.tag(match.end) != "N"
        and sheet.low(at) not in ("hole", "holes", "step", "mark", "marks", "set", "break", "lip")
    ):
        return match.end
    if (
        any(c.form == "adjective" for c in match.meaning)
        and sheet.tag(match.end) not in "N"
        and sheet.tag(at) in "JEGR"
    ):
        return match.end
    return None


def _named_condition(sheet: _Sheet, part: Chunk, start: int, at: int) -> Chunk | None:
    """Read a condition that is a noun with what stands before it: "a hairline", "two small chips", "any play"."""
    match = sheet.match(at, "condition")
    if (
        match is None
        or at == start
        or sheet.match(at, "component")
        or sheet.match(at, "fastener")
        or sheet.tag(match.end) == "N"
    ):
        if (
            match is None
            or at == start
            or sheet.tag(match.end) == "N"
            or sheet.low(at) not in ("wear", "play", "damage", "lip")
        ):
            return None
    noun = next((c for c in match.meaning if c.form == "noun"), None)
    if noun is None or _is_likeness(sheet, start):
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    if not _fits_here(sheet, match, low, {"noun": noun}, ()) or low in _NEVER_NAMED:
        return None
    words = [*part.adjectives, *(text for _, text in part.attributes)]
    if low in _PART_TOO and sheet.tag(match.end) in "SX":
        return None
    return Chunk(
        "condition", start, match.end, low, tag="noun", conditions=(noun,), count=part.count, determiner=part.determiner,
        is_negative=part.is_negative, adjectives=words, is_plural=singular(low) != low,
    )  # fmt: skip


def _finish_part(sheet: _Sheet, part: Chunk, at: int, end: int, nouns: list[str], positions: list[str]) -> Chunk | None:
    if end == at:
        return None
    if sheet.low(end - 1) in ("'s",):
        end -= 1
    if not nouns:
        while end > at + 1 and sheet.tag(end - 1) in "JR" and sheet.low(end - 1) not in _POSITIONAL:
            end -= 1
        part.adjectives = []
    part.end = end
    part.low = " ".join(sheet.low(i) for i in range(at, end))
    part.position = " ".join(positions) or None
    if not nouns:
        return _headless(sheet, part, at, end)
    if nouns[-1] in ("one", "ones"):
        part.pronoun = "one" if nouns[-1] == "one" else "ones"
        part.is_plural = nouns[-1] == "ones"
        return part
    if nouns[0] in ("couple", "pair") and len(nouns) > 1:
        nouns = nouns[1:]
        part.count = 2
    head = nouns[-1]
    if head in ("side", "sides", "end", "ends") and len(nouns) + len(positions) + len(part.adjectives) > 0:
        return _place_only(part, nouns, positions)
    part.is_plural = singular(head) != head or head in ("teeth", "points")
    part.name = _name_of(nouns)
    part.is_known = tuple(part.name.split()) in sheet.lexicon.components or singular(head) in sheet.lexicon.heads
    is_component = tuple(part.name.split()) in sheet.lexicon.components
    part.is_unspecific = (
        head in sheet.lexicon.unspecific
        and not (part.is_known and (is_component or len(nouns) > 1))
        and all(n in sheet.lexicon.unspecific for n in nouns)
    ) or (len(nouns) == 1 and not part.is_known and singular(head) in sheet.lexicon.no_things)
    if at and sheet.pieces[at - 1].kind == "amount" and singular(head) in _HEADS_OF_TOOLS and len(nouns) == 1:
        part.is_unspecific = True
    if part.is_unspecific:
        part.is_known = False
    part.container = singular(head) in sheet.lexicon.containers
    phrase = tuple(nouns)
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[phrase[n:]]
            part.tag = " ".join(phrase[:n])
            break
    adjectives = tuple(part.adjectives)
    for n in range(len(adjectives)):
        if (*adjectives[n:], *phrase) in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[(*adjectives[n:], *phrase)]
            part.tag = ""
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.quantities:
            part.quantity = sheet.lexicon.quantities[phrase[n:]]
            part.owner = part.owner or (_name_of(list(phrase[:n])) if n else None)
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.tools:
            part.tool = " ".join((*adjectives, *phrase))
            part.is_known = part.is_known and is_component
            break
    return part


_HEADS_OF_TOOLS = frozenset("head hex socket spanner wrench key driver ring bit".split())


def _place_only(part: Chunk, nouns: list[str], positions: list[str]) -> Chunk:
    """Read a place that stands for what sits there: "flywheel side", "the dial end", "both sides"."""
    part.position = " ".join([*positions, *part.adjectives, *nouns[:-1], singular(nouns[-1])])
    part.pronoun = "place"
    part.is_plural = nouns[-1].endswith("s")
    part.adjectives = []
    return part


def _headless(sheet: _Sheet, part: Chunk, at: int, end: int) -> Chunk | None:
    """Read a phrase without a noun: "the other two", "both", "all eight", "the left", "the rest"."""
    words = part.low.split()
    if part.count is not None or any(
        w in ("both", "all", "none", "neither", "each", "either", "other", "others", "rest", "same") for w in words
    ):
        part.pronoun = (
            "other"
            if "other" in words or "others" in words
            else words[0]
            if words[0] in ("both", "all", "none", "neither", "each", "either")
            else "number"
        )
        part.is_plural = True
        part.is_negative = part.is_negative or part.pronoun in ("none", "neither")
        return part
    if part.position and (part.determiner or sheet.tag(end) in "SX" or sheet.low(end) in (",", "'s")):
        part.pronoun = "one"
        return part
    if part.determiner in ("this", "that", "these", "those"):
        part.pronoun = part.determiner
        return part
    return None


def _name_of(nouns: list[str]) -> str:
    return " ".join([*nouns[:-1], singular(nouns[-1])])


def _count_pronouns(chunks: list[Chunk]) -> list[Chunk]:
    """Take a bare number before a verb or a condition for that many of them: "two bent", "three have"."""
    for chunk, following in zip(chunks, [*chunks[1:], None], strict=True):
        if chunk.kind != "number" or following is None or chunk.value is None or chunk.value.denominator != 1:
            continue
        if following.kind == "cue" and following.low in ("only", "slightly", "badly", "might be"):
            following = chunks[chunks.index(following) + 1] if chunks.index(following) + 1 < len(chunks) else following
        if (
            following.kind == "condition"
            or following.low in _VERBS_OF_PARTS
            or (following.kind == "aux" and following.low not in ("'s", "'d"))
        ):
            chunk.kind, chunk.pronoun, chunk.count, chunk.is_plural = (
                "part",
                "number",
                int(chunk.value),
                chunk.value != 1,
            )
    return chunks


_VERBS_OF_PARTS = frozenset("came come went were are have had was is need want look gone missing left".split())


# --- partitions ------------------------------------------------------------------------------------------

_PARTS_OF = frozenset(
    {
        "one",
        "both",
        "all",
        "none",
        "neither",
        "each",
        "either",
        "half",
        "most",
        "some",
        "any",
        "couple",
        "pair",
        "few",
        "number",
        "rest",
    }
)
_LITTLE = frozenset("drop bit touch trace smear film splash dribble lick dab dollop blob load lots loads bits hint smattering".split())
""" "Hardly a drop of oil", "a bit of packing": what there is a little of is the thing meant."""
_PLACES_ON = frozenset(
    (
        "end top bottom side edge middle centre inside outside back front corner half face underside tip base "
        "root rim surface end heel toe mouth crown"
    ).split()
)


def _join_partitions(chunks: list[Chunk]) -> list[Chunk]:
    """Join "two of the six shoes", "one of them", "the end of the shaft" into one part."""
    out: list[Chunk] = []
    for chunk in chunks:
        if chunk.is_part and (fewer := _all_but(out, chunk)):
            out[-4:] = [fewer]
            continue
        if (
            chunk.is_part
            and len(out) >= 2
            and out[-1].low == "of"
            and out[-2].is_part
            and (joined := _partition(out[-2], chunk))
        ):
            out[-2:] = [joined]
            continue
        if (
            chunk.is_part
            and chunk.name
            and len(out) >= 2
            and out[-1].kind == "thread"
            and out[-2].is_part
            and out[-2].name is None
            and out[-2].count
        ):
            chunk.count, chunk.determiner = out[-2].count, out[-2].determiner or out[-2].pronoun
            if out[-2].pronoun in ("all", "both"):
                chunk.of = chunk.count
            out[-2].kind, out[-2].value = "number", Fraction(out[-2].count)
        out.append(chunk)
    return out


def _all_but(out: Sequence[Chunk], chunk: Chunk) -> Chunk | None:
    """Join "all bar one of the sixteen rollers" into fifteen of sixteen."""
    if (
        len(out) < 4
        or out[-1].low != "of"
        or out[-3].low not in ("bar", "but", "except", "save")
        or out[-4].pronoun != "all"
    ):
        return None
    less = out[-2].count or (int(out[-2].value) if out[-2].value is not None else None)
    if less is None or chunk.count is None or chunk.name is None:
        return None
    joined = Chunk(**{name: getattr(chunk, name) for name in Chunk.__slots__})
    joined.start, joined.low = out[-4].start, f"all but {less} of {chunk.low}"
    joined.of, joined.count = chunk.count, chunk.count - less
    return joined


def _partition(first: Chunk, second: Chunk) -> Chunk | None:
    head = (first.name or "").split()[-1:] or [first.pronoun or ""]
    is_little = head[0] in _LITTLE and not second.is_unspecific
    is_share = (
        is_little
        or first.pronoun in _PARTS_OF
        or (first.name is None and first.count is not None)
        or head[0] in ("couple", "pair", "half", "rest", "most", "few")
    )
    if is_share:
        whole = second
        joined = Chunk(**{name: getattr(whole, name) for name in Chunk.__slots__})
        joined.start, joined.low = first.start, f"{first.low} of {second.low}"
        joined.of = second.count
        joined.count = None if is_little else first.count
        joined.is_negative = first.is_negative or first.pronoun in ("none", "neither")
        joined.position = second.position or first.position
        if head[0] in ("couple", "pair"):
            joined.count = 2
        if first.pronoun == "both":
            joined.count = joined.of = 2
        elif first.pronoun in ("all", "none", "neither", "each"):
            joined.count = joined.of = second.count or (2 if first.pronoun == "neither" else None)
        joined.pronoun = second.pronoun if second.name is None else None
        joined.determiner = first.pronoun or first.determiner
        joined.attributes = [*first.attributes, *second.attributes]
        return joined
    if head[0] in _PLACES_ON and second.name and not second.is_unspecific:
        joined = Chunk(**{name: getattr(second, name) for name in Chunk.__slots__})
        joined.start, joined.low = first.start, f"{first.low} of {second.low}"
        place = " ".join(w for w in first.low.split() if w not in ("the", "a", "an", "one"))
        joined.position = place
        joined.is_negative = first.is_negative
        return joined
    return None
