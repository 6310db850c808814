"""What was decided: the owner approved, declined or asked; the shop advised.

In: clauses of a remark. Out: decisions, one a part. Never takes a machine that wants something ("she wants a new bearing")
for a person, nor what somebody might want, is asked, or wanted another time.

Examples: "he wants the bearings done" approved, "owner said no to the drum gear" declined, "he doesn't want the rope replaced"
declined, "customer wants a price for the lining first" asked, "the seals are approved" approved, "I'd advise a new lining" advised,
"he's changed his mind, leave the pawl" declined, and it settles what was decided before.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from notebook.entries import EVERYTHING, Decided, Disposition, Entry
from notebook.reading.clause import QUESTION, Clause
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

OWNER = "owner"
_OWNER = r"(?:(?:the |our |my |this )?(?:owner|customer|client|farmer|skipper)\b)"
_WHO = rf"(?P<who>{_OWNER}|\b(?:he|she|they)\b)"
_HAS = r"(?: has|'s|'ve| have)?(?: just| now| already)?"
_APPROVES = (
    rf"{_WHO} (?:wants?|wanted)(?= .*?\b(?:done|doing|replaced|changed|renewed|swapped|repaired|fixed|sorted|ordered|overhauled|rebuilt|reground|relined|skimmed|machined|welded|seen to)\b)",
    rf"{_WHO}{_HAS} (?:agreed to|agrees to|approved|approves|okayed|okays|ok'd|accepted|accepts|authorised|signed off(?: on)?|said yes to|says yes to|gone for)\b",
    rf"{_WHO}{_HAS}(?: told (?:us|me)| said| says)(?: to)?(?: yes,?)? (?:go ahead (?:with|on|and (?:do|replace|change))|crack on with|get on with|carry on with|do|replace|change|order)\b",
    rf"{_WHO}(?: is|'s|'re| are| was)? (?:happy|fine|okay|ok|good) (?:with|to have|for (?:us|me) to (?:do|replace|change))\b",
    rf"{_OWNER} (?:wants?|wanted|will have|is having)\b",
    rf"{_WHO}(?:'ll| will|'s going to) have(?= .*?\b(?:done|replaced|changed|renewed|repaired|overhauled)\b)",
    r"(?:got|have|there's|that's) the (?:go ahead|go-ahead|okay|ok|nod|yes) (?:for|on|to do)\b",
    r"\bgo ahead from (?:the )?(?:owner|customer|client|him|her) (?:for|on)\b",
)  # fmt: skip
_DECLINES = (
    rf"{_WHO} (?:doesn't|does not|didn't|did not|don't|do not|won't|will not|wouldn't) (?:want|have|pay for|agree to|go for|approve)\b",
    rf"{_WHO}(?:'s| is|'re| are)? not (?:want|wanting|having|paying for|bothered about|going for)\b",
    rf"{_WHO}{_HAS} (?:declined|declines|refused|refuses|turned down|turns down|said no to|says no to)\b",
    rf"{_WHO}{_HAS} (?:says?|said|told (?:us|me))(?: to)? leave\b",
    rf"{_OWNER}(?:'ll| will| wants to|'s going to| would rather) leave\b",
    rf"{_WHO} (?:wants to leave|would rather leave|can't afford|cannot afford)\b",
    rf"{_WHO} (?:wants?|wanted)(?= .*?\b(?:left|leaving)\b)",
    r"\bchanged (?:his|her|their) mind,? (?:and )?leave\b",
)  # fmt: skip
_ASKS = (
    rf"{_WHO}(?: wants?| wanted|'d like| would like|{_HAS} asked for| asks for) (?:a |the |an )?(?:price|prices|quote|cost|costs|figure|estimate)(?: first)?(?: (?:for|on|of))?\b",
    rf"{_WHO}(?:{_HAS} asked| asks| is asking|'s asking| wants to know| wanted to know| wants to think| is thinking|'s thinking|'ll think| will think|'ll let (?:us|me) know| will let (?:us|me) know)(?: again)? about\b",
)  # fmt: skip
_ADVISES = (
    r"\b(?:i|we)(?:'d| would|'ve| have)? (?:advise|advised|recommend|recommended)(?: (?:him|her|them|the owner|the customer))?(?: to)?\b",
)  # fmt: skip
_PASSIVE = r"(?:\b(?:is|are|was|were|been|got)|'s|'re) (?:all |now |both )?(?P<done>approved|okayed|ok'd|agreed|authorised|declined|refused|turned down)\b(?: by (?:the )?(?P<by>[a-z]+))?"
_CUES = tuple(
    (state, re.compile(pattern))
    for state, patterns in (("declined", _DECLINES), ("asked", _ASKS), ("approved", _APPROVES), ("advised", _ADVISES))
    for pattern in patterns
)
_PASSIVES = re.compile(_PASSIVE)
_NOT_SURE = re.compile(
    r"\b(?:if|whether|unless|in case|when he|when she|once he|until|till|might|may|maybe|perhaps|probably|think|thinks|reckon|bet|hope|hoping|expect|suppose|doubt|last time|last year|last one|usually|always|never)\b"
)
_SETTLES = re.compile(r"\b(?:changed (?:his|her|their) mind|it's settled|that's settled|that is settled|final word)\b")
_EVERYTHING = re.compile(
    r"\b(?:everything|the (?:whole )?lot|it all|all of it|all the work|all that|the whole job|the whole list)\b"
)
_BUT = re.compile(r"\b(?:but|except|bar|apart from|other than)\b")
_ENDS = re.compile(r"[;:]|\b(?:but|because|so that|though|although)\b")
_WANTED_DONE = re.compile(r"\b(?:he|she|they|owner|customer|client) wants? [^.;]*?\b(?:done|doing)\b")
_NOT = re.compile(r"\bnot\W+(?:the |those |that |these |his |her )?$")
_PEOPLE = frozenset("owner customer client farmer skipper boss".split())
_POINTS = frozenset({"it", "they", "them", "that", "this", "those", "these"})
_ACTIONS = {
    "replace": "replaced changed renewed swapped replace replacing change changing renew renewing new",
    "rework": "repaired reground skimmed machined welded rebored straightened rebushed repair regrind skim",
    "overhaul": "overhauled rebuilt reconditioned overhaul rebuild", "clean": "cleaned clean", "check": "checked measured tested check",
    "order": "ordered order",
}  # fmt: skip
_ACTION_OF = {word: action for action, words in _ACTIONS.items() for word in words.split()}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cue:
    """A cue over characters [start, end) of the tidied text, and how far its parts may stand."""

    state: str
    start: int
    end: int
    by: str | None
    is_passive: bool = False


def read_decisions(
    clauses: Sequence[Clause], entries: Sequence[Entry], state: State
) -> tuple[list[Decided], list[Entry]]:
    """Give what was decided, and the other entries without what its words were mistaken for."""
    found: list[Decided] = []
    text = state.tidied.text
    for start, end in _sentences(clauses, state):
        said = text[start:end].lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
        cues = list(_cues(said))
        for n, cue in enumerate(cues):
            before = cues[n - 1].end if n else 0
            after = cues[n + 1].start if n + 1 < len(cues) and not cues[n + 1].is_passive else len(said)
            found.extend(_of_cue(cue, said, start, (before, after), clauses, state))
    wanted = [m.span() for m in _WANTED_DONE.finditer(text.lower())]
    return found, [e for e in entries if not _is_mistaken(e, found) and not _is_wish(e, wanted)]


def _sentences(clauses: Sequence[Clause], state: State) -> Iterator[tuple[int, int]]:
    numbers = dict.fromkeys(c.sentence for c in clauses)
    for number in numbers:
        own = [c for c in clauses if c.sentence == number]
        if any(c.mood == QUESTION for c in own) or own[-1].sentence_end == "?":
            continue
        yield state.span(own[0].start, own[0].end)[0], state.span(own[-1].start, own[-1].end)[1]


def _cues(said: str) -> Iterator[_Cue]:
    """Give the cues of a sentence in order; of two that overlap the one that begins first, then the longer list's."""
    taken: list[_Cue] = []
    for name, pattern in _CUES:
        for match in pattern.finditer(said):
            if any(c.start < match.end() and match.start() < c.end for c in taken):
                continue
            if _NOT_SURE.search(said, 0, match.start()):
                continue
            taken.append(
                _Cue(state=name, start=match.start(), end=match.end(), by=None if name == "advised" else OWNER)
            )
    for match in _PASSIVES.finditer(said):
        if not any(c.start < match.end() and match.start() < c.end for c in taken) and not _NOT_SURE.search(said):
            name = "declined" if match["done"] in ("declined", "refused", "turned down") else "approved"
            by = match["by"]
            taken.append(
                _Cue(state=name, start=match.start(), end=match.end(), is_passive=True, by=OWNER if by is None or by in _PEOPLE else by.title())
            )  # fmt: skip
    return iter(sorted(taken, key=lambda c: c.start))


def _of_cue(
    cue: _Cue, said: str, offset: int, bounds: tuple[int, int], clauses: Sequence[Clause], state: State
) -> Iterator[Decided]:
    low, high = (bounds[0], cue.start) if cue.is_passive else (cue.end, bounds[1])
    ends = None if cue.is_passive else _ENDS.search(said, low, high)
    everything = _EVERYTHING.search(said, low, high)
    span = offset + (low if cue.is_passive else cue.start), offset + (cue.end if cue.is_passive else high)
    span = (span[0], offset + len(said[: span[1] - offset].rstrip(" ,.;")))
    made = Decided(
        state=cue.state, by=cue.by, span=span, cue=said[cue.start : cue.end], rule=f"decision.{cue.state}",
        settles=True if _SETTLES.search(said) else None,
    )  # fmt: skip
    if everything and not cue.is_passive:
        if _BUT.search(said, everything.end()):
            yield replace(made, doubt="all but some; say each part by itself")
        else:
            yield replace(made, component=EVERYTHING)
        return
    if ends is not None:
        high = ends.start()
    parts = list(_parts(low + offset, high + offset, clauses, state))
    if not parts and not cue.is_passive and ends is not None:
        return
    for chunk, begins in parts:
        action = _action(chunk, said, begins - offset, high, is_passive=cue.is_passive)
        denied = cue.state == "approved" and _NOT.search(said[: begins - offset] + "")
        yield replace(
            made, component=chunk.name, position=chunk.position, action=None if denied or cue.state == "declined" else action,
            state="declined" if denied else cue.state, rule="decision.declined" if denied else made.rule,
        )  # fmt: skip
    if not parts and (pointed := _pointed(low + offset, high + offset, clauses, state)) is not None:
        yield replace(made, component=pointed.component, position=pointed.position, doubt=pointed.doubt)


def _parts(start: int, end: int, clauses: Sequence[Clause], state: State) -> Iterator[tuple[Chunk, int]]:
    """Give the parts named between two characters, each with where it begins."""
    for clause in clauses:
        for chunk in clause.chunks:
            begins, ends = state.span(chunk.start, chunk.end)
            if (
                begins < start
                or ends > end
                or not chunk.is_part
                or not chunk.name
                or chunk.container
                or chunk.is_unspecific
            ):
                continue
            words = set(chunk.name.split())
            if words & (_PEOPLE | _NO_PART) or chunk.name in state.lexicon.no_things:
                continue
            if chunk.is_known or chunk.determiner or chunk.is_plural:
                yield chunk, begins


_NO_PART = frozenset(
    "price quote cost figure estimate job work week month end day morning phone money bill friday monday tuesday wednesday thursday saturday sunday go mind advice time while thing".split()
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pointed:
    component: str | None
    position: str | None
    doubt: str | None = None


def _pointed(start: int, end: int, clauses: Sequence[Clause], state: State) -> _Pointed | None:
    """Give what "it" or "them" points to: the part named last before; a doubt where none was."""
    points = [
        c for clause in clauses for c in clause.chunks
        if c.pronoun in _POINTS and start <= state.span(c.start, c.end)[0] and state.span(c.start, c.end)[1] <= end
    ]  # fmt: skip
    if not points:
        return None
    before = [chunk for chunk, _ in _parts(0, start, clauses, state)]
    if before:
        return _Pointed(component=before[-1].name, position=before[-1].position)
    bearer = state.memory.bearer
    if bearer is not None and bearer.component:
        return _Pointed(component=bearer.component, position=bearer.position)
    return _Pointed(component=None, position=None, doubt="which part was decided on is not plain")


def _action(chunk: Chunk, said: str, begins: int, high: int, *, is_passive: bool) -> str | None:
    """Give what is to be done, where a word says so: "have the seals changed", "a new bearing", "replace the seals"."""
    words = re.findall(r"[a-z']+", said[begins : max(high, begins)]) if not is_passive else []
    if "new" in chunk.adjectives or "new" in chunk.low.split():
        return "replace"
    near = re.findall(r"[a-z']+", said[:begins])[-3:]
    found = [_ACTION_OF[w] for w in (*words, *near) if w in _ACTION_OF and w != "new"]
    return found[0] if found else None


def _is_wish(entry: Entry, wanted: Sequence[tuple[int, int]]) -> bool:
    """ "Ask him if he wants the bearings done": they do not go again."""
    if not isinstance(entry, Disposition) or entry.action != "reuse":
        return False
    return any(start < entry.span[1] and entry.span[0] < end for start, end in wanted)


def _is_mistaken(entry: Entry, found: Sequence[Decided]) -> bool:
    """ "Done" is no "will do", and what the owner does not want is not to be done."""
    if not isinstance(entry, Disposition):
        return False
    for decided in found:
        if not (decided.span[0] <= entry.span[0] < decided.span[1] or entry.span[0] <= decided.span[0] < entry.span[1]):
            continue
        if decided.state == "approved" and (entry.action == "reuse" or entry.done):
            return True
        if decided.state == "declined" and entry.action != "reuse" and entry.component == decided.component:
            return True
        if decided.state == "asked" and entry.component == decided.component and entry.action != "hold":
            return True
    return False
