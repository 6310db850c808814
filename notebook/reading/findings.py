"""Findings: which part is in what condition, said to be so, not to be so, or perhaps so.

In: a clause, and what was spoken of before. Out: findings. Only clauses that state a fact of this job count:
what usually happens, other jobs, questions, warnings and what would happen give none.

Examples: "two of the six shoes are cracked", "no scoring on the drum", "might be a crack by the keyway",
"nothing wrong with the pump", "couldn't get to the rear bearing".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Entry, Finding
from notebook.reading.bearers import NOTHING_BEFORE, Bearer, is_sub_part, part_after, resolve, subject_of, subjects_of
from notebook.reading.chunks import LINKS, Chunk
from notebook.reading.clauses import ELSEWHERE, EXPECTED, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.state import State
from notebook.reading.tags import SPEECH_VERBS

ON_PART = frozenset(
    (
        "in on at to of round around across along under between through up down onto into over inside about "
        "near with behind from off by"
    ).split()
)
_NOT_FACTS = frozenset({QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, WARNING, INSTRUCTION})


def read_findings(clause: Clause, state: State) -> list[Finding]:
    """Give the findings a clause states."""
    if clause.mood in _NOT_FACTS:
        if clause.mood in (USUAL, ELSEWHERE) or (clause.mood == HYPOTHETICAL and clause.chunks[0].low in ("had", "were")):
            state.shadow = _shadow(clause, state)
        return []
    if echoed := _echo(clause, state):
        return echoed
    if (denied := _cleft(clause, state)) or (denied := _instead(clause, state)):
        state.remember_findings(denied)
        return denied
    found: list[Finding] = []
    if not_looked := _not_inspected(clause, state):
        return [not_looked]
    subject, subject_at = subject_of(clause, state.focus, state.lexicon)
    found.extend(_attributes(clause, state))
    if wrong := _nothing_wrong(clause, state, subject):
        return [*found, wrong]
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "condition":
            continue
        finding = _finding(clause, at, chunk, state, subject, subject_at)
        if finding is not None:
            found.append(finding)
            found.extend(_for_others(finding, clause, subject, subject_at, state))
    if not found and (gone := _gone(clause, state, subject, subject_at)):
        found.append(gone)
    found.extend(_compared(clause, state, subject, subject_at))
    found = _tidy_up(found)
    state.remember_findings(found)
    return found


def _for_others(
    finding: Finding, clause: Clause, subject: Bearer | None, subject_at: int, state: State
) -> list[Finding]:
    """Say the same of every part in "A and B are worn" or in a list just named."""
    bearers = subjects_of(clause, subject, subject_at, state.focus, state.lexicon)
    if (
        subject is None
        or len(bearers) < 2
        or (finding.component != subject.component and finding.component not in [b.component for b in bearers])
    ):
        return []
    return [
        replace(finding, component=b.component, position=b.position, count=b.count, of=b.of)
        for b in bearers
        if (b.component, b.position) != (finding.component, finding.position)
    ]


def _cleft(clause: Clause, state: State) -> list[Finding]:
    """ "It's not the bearing | that's noisy", "it's neither the pump nor the valve | that's weeping"."""
    before = state.last_chunks
    first = clause.chunks[0]
    if first.pronoun not in ("that", "which", "who") or clause.joiner not in ("", "that") or len(before) < 3:
        return []
    if before[0].pronoun not in ("it", "that", "this") or before[1].kind != "aux":
        return []
    negation = next((c for c in before[1:4] if c.cue == "negation.before" or c.low.endswith("n't")), None)
    if negation is None or any(c.kind == "condition" for c in before):
        return []
    parts = [b for c in before if c.is_part and c.name and (b := resolve(c, state.focus, state.lexicon)) is not None]
    said = next((c for c in clause.chunks[1:] if c.kind == "condition"), None)
    if said is None:
        return []
    state.denied = [
        Finding(
            component=part.component, position=part.position, condition=said.conditions[0].term, presence="absent",
            span=state.span(before[0].start, clause.end), cue=negation.low, rule="finding.cleft",
        )
        for part in parts
    ]  # fmt: skip
    return state.denied


def _instead(clause: Clause, state: State) -> list[Finding]:
    """ "... it's the gear": what was denied of one part is so of another."""
    chunks = clause.chunks
    if not state.denied or any(c.kind in ("condition", "amount") for c in chunks):
        return []
    if len(chunks) < 3 or chunks[0].pronoun not in ("it", "that") or chunks[1].kind != "aux" or not chunks[2].is_part:
        return []
    part = resolve(chunks[2], state.focus, state.lexicon) if chunks[2].name else None
    denied, state.denied = state.denied, []
    if part is None or not part.component:
        return []
    return [
        replace(
            denied[0], component=part.component, position=part.position, presence="present",
            span=state.span(clause.start, clause.end), cue=chunks[2].low, rule="finding.cleft",
        )
    ]  # fmt: skip


_AFTER_GONE = frozenset(
    {"", "off", "off the", "altogether", "completely", "entirely", "missing", "from", "in", "at", "on", "home"}
)


def _gone(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> Finding | None:
    """ "Two teeth gone off it" are missing; "the seal's gone" is worn out."""
    for at, chunk in enumerate(clause.chunks):
        if chunk.low != "gone" or subject is None or not subject.component:
            continue
        following = clause.chunks[at + 1].low if at + 1 < len(clause.chunks) else ""
        if following not in _AFTER_GONE or (subject_at < 0 and not any(c.kind == "aux" for c in clause.chunks[:at])):
            return None
        several = subject.count is not None or (subject.component or "").split()[-1] in (
            "tooth",
            "bolt",
            "screw",
            "nut",
            "rivet",
            "clip",
            "circlip",
            "ball",
            "roller",
            "stud",
            "pin",
            "washer",
            "shim",
            "key",
        )
        return Finding(
            component=subject.component, position=subject.position, condition="missing" if several else "worn out", count=subject.count, of=subject.of if subject.count else None,
            span=state.span(clause.start, clause.end), cue="gone", rule="finding.gone", doubt=subject.doubt, from_=subject.from_,
        )  # fmt: skip
    return None


_LIKE_BEFORE = (
    "worse",
    "no better",
    "as bad",
    "just as bad",
    "every bit as bad",
    "much the same",
    "the same",
    "same again",
    "not much better",
    "no different",
    "equally bad",
    "likewise",
    "nearly as bad",
    "similar",
    "identical",
    "a bit better",
    "not as bad",
    "same way",
    "gone the same way",
    "even worse",
    "ditto",
    "as well",
    "the same again",
)


def _compared(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> list[Finding]:
    """ "The guide's worse": the condition spoken of before, on this part too."""
    if (
        any(c.kind in ("condition", "amount") for c in clause.chunks)
        or subject is None
        or subject_at < 0
        or not state.findings
    ):
        return []
    text = f" {clause.low} "
    said = next((w for w in _LIKE_BEFORE if f" {w} " in text), None)
    if said is None or not any(c.kind == "aux" or c.low in ("looks", "feels", "gone", "does") for c in clause.chunks):
        return []
    last = state.findings[-1]
    if said == "as well" and not clause.chunks[0].is_part:
        return []
    where = subject.position
    component = subject.component or last.component
    return [
        replace(last, component=component, position=where, count=subject.count, of=subject.of if subject.count else None, degree=None, span=state.span(clause.start, clause.end), cue=said, rule="finding.compared")
    ]  # fmt: skip


def _finding(
    clause: Clause, at: int, chunk: Chunk, state: State, subject: Bearer | None, subject_at: int
) -> Finding | None:
    condition = chunk.conditions[0]
    presence, cue, degree = _polarity(clause, at, state)
    if presence is None:
        return None
    if chunk.is_negative:
        presence, cue = "absent", chunk.determiner
    if _is_idle(clause, at, chunk, state):
        return None
    bearer, position = _bearer(clause, at, chunk, state, subject, subject_at)
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    if bearer.is_negative:
        presence, cue = ("present" if presence == "absent" else "absent"), cue or "none"
    if clause.mood == EXPECTED and clause.cue not in _OWNER_SAYS:
        return None
    term = condition.term
    if presence == "absent" and condition.polarity == "good" and term == "sound":
        term, presence = "bad", "present"
    if term == "no oil" and (
        after := part_after(
            clause.chunks, at, frozenset({"round", "around", "on", "past", "at", "under", "about", "behind"})
        )
    ):
        leaky = resolve(after[1], state.focus, state.lexicon)
        if leaky is not None and leaky.component:
            bearer, term, presence, position = leaky, "leaking", "absent", None
    if term == "dry" and presence == "present" and _is_seal(bearer.component):
        term, presence = "leaking", "absent"
    return Finding(
        component=bearer.component, position=position or bearer.position, condition=term, presence=presence,
        degree=degree or _degree_of(chunk), count=bearer.count, of=bearer.of if bearer.count is not None else None,
        span=state.span(clause.chunks[min(at, max(subject_at, 0))].start if subject_at >= 0 else chunk.start, clause.end),
        doubt=bearer.doubt, cue=cue or chunk.low, rule=f"finding.{chunk.tag}", from_=bearer.from_,
    )  # fmt: skip


def _is_seal(component: str | None) -> bool:
    words = (component or "").split()
    return (
        bool(words)
        and words[-1] in ("seal", "gasket", "o-ring", "gland", "union", "hose", "washer", "damper", "ring")
        and words[-1] != "ring"
    )


_OWNER_SAYS = frozenset(
    {
        "owner says",
        "owner reckons",
        "customer says",
        "he says",
        "she says",
        "they say",
        "owner said",
        "he said",
        "she said",
        "they said",
        "told me",
        "reckoned",
    }
)


def settle_findings(entries: Sequence[Entry], clauses: Sequence[Clause], state: State) -> list[Entry]:
    """Settle what only the whole remark tells: parts named after their condition, "all but number five"."""
    out: list[Entry] = []
    for entry in entries:
        if isinstance(entry, Finding):
            entry = _all_but(_named_later(entry, state), clauses, state)
        out.append(entry)
    return out


def _named_later(finding: Finding, state: State) -> Finding:
    """ "It's not cracked, that's just a casting mark on the flange": the part comes after."""
    if (
        finding.component is not None
        or finding.doubt != NOTHING_BEFORE
        or not state.focus.named
        or finding.count is not None
    ):
        return finding
    named = state.focus.named[0]
    return replace(finding, component=named.component, position=finding.position or named.position, doubt=None)


_EXCEPT = re.compile(
    r"^(?:except|bar|apart from|but for|other than|save)(?: for)? (?:the )?(number|one|two|three|first|last|second|third|fourth|fifth|sixth|\w+ one)\b"
)


def _all_but(finding: Finding, clauses: Sequence[Clause], state: State) -> Finding:
    """ "All eight studs are good except number five" are seven of eight."""
    if finding.count is None or finding.of != finding.count:
        return finding
    for clause in clauses:
        said = _EXCEPT.match(clause.low)
        if said and clause.start >= 0 and state.span(clause.start, clause.end)[0] >= finding.span[0]:
            less = {"two": 2, "three": 3}.get(said.group(1), 1)
            return replace(finding, count=finding.count - less)
    return finding


def _degree_of(chunk: Chunk) -> str | None:
    words = set(chunk.adjectives)
    if words & {"slight", "light", "small", "little", "tiny", "wee", "minor", "faint", "fine", "hairline"}:
        return "slight"
    if words & {"bad", "heavy", "deep", "big", "massive", "serious", "severe", "huge", "large", "major"}:
        return "severe"
    return None


def _polarity(clause: Clause, at: int, state: State) -> tuple[str | None, str | None, str | None]:
    """Give presence, the cue that decided it, and the degree."""
    presence, cue, degree = "present", None, None
    before = clause.chunks[:at]
    negations = 0
    for i, chunk in enumerate(before):
        if chunk.kind != "cue" or chunk.cue is None:
            if chunk.low in ("but", "bar", "except"):
                presence, cue, negations = "present", None, 0
            continue
        if chunk.cue == "double_negation.said":
            presence, cue, negations = "present", chunk.low, 0
        elif chunk.cue == "near_none.before":
            degree, cue = "slight", chunk.low
        elif chunk.cue == "negation.before":
            if _reaches(before, i, at):
                negations += 1
                cue = chunk.low
        elif chunk.cue == "hedge.before":
            if presence == "present":
                presence, cue = "possible", chunk.low
        elif chunk.cue.startswith("degree."):
            if _is_near(before, i):
                degree = chunk.cue.split(".")[1]
    if negations and _is_emphatic(clause, state):
        negations -= 1
    unsure = _unsure([*_said_first(clause, state), *before])
    if unsure:
        negations -= sum(c.cue == "negation.before" and c.low.startswith(unsure) for c in before)
    if unsure and (negations or unsure not in _SAYING):
        presence, cue = "possible", unsure
    elif unsure or negations:
        presence, cue = "absent", cue or unsure
        if degree in ("severe",):
            degree = None
    if presence == "present" and negations == 0 and (inherited := _inherited(clause, at, state)):
        presence, cue = inherited
    for chunk in clause.chunks[at + 1 : at + 5]:
        if chunk.kind == "cue" and chunk.cue == "hedge.after" and presence == "present":
            presence, cue = "possible", chunk.low
        if (
            chunk.kind == "cue"
            and chunk.cue == "negation.after"
            and chunk.low not in ("not there",)
            and presence == "present"
        ):
            presence, cue = "absent", chunk.low
        if chunk.kind == "cue" and chunk.cue is not None and chunk.cue.startswith("degree.") and degree is None:
            degree = chunk.cue.split(".")[1]
    if degree is None:
        degree = _degree_after(clause, at)
    return presence, cue, degree


_BLOW_ME = re.compile(r"\b(?:blow|damn|bugger|strike|hang|stuff) me if\b|\bi'll be (?:damned|blowed|hanged) if\b")


def _is_emphatic(clause: Clause, state: State) -> bool:
    """ "... and didn't the key come away in two pieces", "blow me if it hasn't cracked": so it is."""
    chunks = clause.chunks
    if len(chunks) > 2 and chunks[0].low.endswith("n't") and chunks[1].is_part and clause.sentence_end != "?":
        return True
    return _BLOW_ME.search(" ".join(c.low for c in [*_said_first(clause, state), *chunks]).replace(" '", "'")) is not None


_UNSURE = re.compile(
    r"\b(?:(?:can't|couldn't|cannot|wouldn't|won't) (?:say|swear|be sure|promise|rule out|guarantee|tell you)|not (?:sure|saying|convinced|certain))\b"
)


_SAYING = frozenset({"can't say", "couldn't say", "cannot say", "wouldn't say", "not saying"})


def _unsure(before: Sequence[Chunk]) -> str | None:
    """ "Can't say that eye isn't cracked": a doubt about a denial leaves it possible; gives the words of the doubt."""
    said = _UNSURE.search(" ".join(c.low for c in before).replace(" '", "'"))
    return said.group() if said else None


def _said_first(clause: Clause, state: State) -> list[Chunk]:
    """Give the chunks of "I wouldn't say | the tube's leaking" that stand before what is said."""
    last = state.last_chunks
    if clause.joiner not in ("", "that") or not last or last[-1].end != clause.start - (clause.joiner == "that"):
        return []
    return last if last[-1].low in SPEECH_VERBS or last[-1].kind == "cue" or last[-1].low in ("sure", "certain", "swear") else []


def _degree_after(clause: Clause, at: int) -> str | None:
    text = " ".join(c.low for c in clause.chunks[at + 1 : at + 5])
    if text.startswith(("a fair bit", "quite a bit", "a good bit")):
        return "moderate"
    if text.startswith(("badly", "bad", "to hell", "to bits", "something shocking", "something awful", "something terrible", "something chronic", "something fierce", "something rotten", "something cruel", "something", "real bad", "pretty bad", "right through")):
        return "severe"
    if text.startswith(("a bit", "a touch", "slightly", "a little", "a wee bit", "bit")):
        return "slight"
    return None


def _is_near(before: Sequence[Chunk], i: int) -> bool:
    """A degree word belongs to the condition right after it (or after "and", another degree)."""
    return all(c.kind in ("cue", "adverb", "adjective", "determiner") for c in before[i + 1 :])


def _reaches(before: Sequence[Chunk], i: int, at: int) -> bool:
    """Tell whether a negation reaches the condition: nothing ends its reach between them."""
    between = before[i + 1 :]
    for n, chunk in enumerate(between):
        if chunk.low in ("but", "just", "only", "bar", "except", "apart"):
            return False
        if chunk.kind == "condition" and i >= 0:
            rest = [c.low for c in between[n + 1 :]]
            if "or" in rest or "nor" in rest or "and" in rest or not rest:
                continue
            return before[i].low not in ("no", "not a", "without")
        if (
            chunk.is_part
            and chunk.name
            and before[i].low in ("no",)
            and not chunk.is_unspecific
            and chunk.kind != "condition"
        ):
            nxt = between[n + 1] if n + 1 < len(between) else None
            return nxt is None or nxt.kind != "aux"
    return True


def _inherited(clause: Clause, at: int, state: State) -> tuple[str, str] | None:
    """ "No cracks, chips | or scoring": a list of bare conditions keeps the negation it began with."""
    if state.last_negation is None or clause.joiner not in (",", "or", "nor"):
        return None
    first = clause.chunks[0]
    is_bare = (
        (first.kind == "condition" and first.tag == "noun")
        or first.low in ("or", "nor")
        or clause.joiner in ("or", "nor")
    )
    if is_bare and not any(c.kind == "aux" for c in clause.chunks):
        return "absent", state.last_negation
    return None


def _bearer(
    clause: Clause, at: int, chunk: Chunk, state: State, subject: Bearer | None, subject_at: int
) -> tuple[Bearer | None, str | None]:
    """Give the part that is in the condition, and where on it."""
    chunks = clause.chunks
    position = None
    after = part_after(chunks, at, ON_PART)
    if chunk.tag == "noun":
        owner = _owner(chunks, at, state)
        if owner is not None:
            return owner, _place_after(chunks, at, state)
        if after is not None and not _has_owner(chunks, subject_at, at):
            at_part, part = after
            bearer = resolve(part, state.focus, state.lexicon)
            if part.pronoun in ("it", "they", "them") and subject is not None and subject.is_named:
                return subject, position
            if bearer is not None and not bearer.is_place and bearer.component and not _is_place_word(part):
                return bearer, _place_after(chunks, at_part, state)
            if bearer is not None and bearer.is_place:
                position = bearer.position
            elif bearer is None or _is_place_word(part):
                position = _place_text(chunks, at_part)
    elif after is not None:
        position = _place_text(chunks, after[0]) if _is_place(after[1], chunks, after[0]) else None
        if position is None and after[1].pronoun == "place":
            position = after[1].position
    if _is_of_whole(chunks, subject_at, chunk, state) and state.focus.whole is not None:
        return replace(state.focus.whole), position
    if (hurt := _hurt(chunks, at, state)) is not None:
        return hurt, position
    if subject is not None and subject_at > at:
        subject = replace(state.focus.bearer) if state.focus.bearer else None
    return subject, position


_OF_THE_WHOLE = frozenset({"worn out", "sound", "stretched", "out of true"})


def _is_of_whole(chunks: Sequence[Chunk], subject_at: int, chunk: Chunk, state: State) -> bool:
    """ "Sixteen links go twelve inches, so it's toast": a verdict on "it" is on the chain, not on its links."""
    if subject_at < 0 or not is_sub_part(state.focus.bearer.component if state.focus.bearer else None):
        return False
    return chunks[subject_at].pronoun in ("it", "that", "she", "this") and chunk.conditions[0].term in _OF_THE_WHOLE


_HURTS = frozenset(
    (
        "stripped chewed scored worn cracked bent broken torn ripped marked damaged ruined chipped burnt melted gouged dented sheared "
        "split cut grooved knackered wrecked buggered holed cooked twisted bruised pitted scratched polished snapped blown wiped warped "
        "wallowed broke tore wore bust busted"
    ).split()
)


def _hurt(chunks: Sequence[Chunk], at: int, state: State) -> Bearer | None:
    """ "It's stripped the hole", "might have chewed the housing": what was done is done to the part behind it."""
    following = at + 1
    while following < len(chunks) and chunks[following].low in ("up", "out"):
        following += 1
    if chunks[at].low.split()[0] not in _HURTS or following >= len(chunks) or not chunks[following].is_part:
        return None
    part = chunks[following]
    is_active = any(c.low in ("has", "have", "'s", "'ve", "had", "having") for c in chunks[:at]) or not any(c.kind == "aux" for c in chunks[:at])
    if not part.name or not part.determiner or part.is_unspecific or not is_active or not at:
        return None
    return resolve(part, state.focus, state.lexicon)


def _has_owner(chunks: Sequence[Chunk], subject_at: int, at: int) -> bool:
    """Tell "the bore's got rust in the middle" (subject bears it) from "there's rust in the bore"."""
    if subject_at < 0 or subject_at >= at:
        return False
    subject = chunks[subject_at]
    if subject.name is None and subject.pronoun not in (
        "it",
        "they",
        "one",
        "number",
        "other",
        "this",
        "these",
        "that",
        "place",
        "both",
        "all",
    ):
        return False
    words = {c.low for c in chunks[subject_at + 1 : at]}
    return bool(words & {"got", "has", "have", "had", "shows", "showing", "with", "'ve", "having", "shown", "wants"})


def _owner(chunks: Sequence[Chunk], at: int, state: State) -> Bearer | None:
    """Give the part named right before a condition noun: "bearing | play", "tooth | wear"."""
    if at == 0 or not chunks[at - 1].is_part or chunks[at - 1].name is None or chunks[at - 1].is_unspecific:
        return None
    return resolve(chunks[at - 1], state.focus, state.lexicon)


def _is_place_word(part: Chunk) -> bool:
    is_put = part.container and (part.name or "").split()[-1:] not in (["case"], ["pan"], ["cup"], ["bowl"], ["lid"], ["bucket"], ["cap"])
    return part.is_unspecific or is_put or part.pronoun == "place"


def _is_place(part: Chunk, chunks: Sequence[Chunk], at: int) -> bool:
    return part.pronoun == "place" or part.name is not None or part.position is not None


def _place_text(chunks: Sequence[Chunk], at: int) -> str | None:
    part = chunks[at]
    if part.pronoun in ("it", "they", "them", "this", "that", "me"):
        return None
    words = [w for w in part.low.split() if w not in ("the", "a", "an", "its", "his", "their")]
    if at and chunks[at - 1].kind == "preposition":
        return f"{chunks[at - 1].low} the {' '.join(words)}" if words else None
    return " ".join(words) or None


def _place_after(chunks: Sequence[Chunk], at: int, state: State) -> str | None:
    after = part_after(chunks, at, ON_PART)
    if after is None:
        return None
    return _place_text(chunks, after[0])


def _is_said_of_deed(before: Sequence[Chunk]) -> bool:
    """ "It still nips up alright": a good word about how something goes, not what it is like."""
    for chunk in reversed(before):
        if chunk.kind == "aux" or chunk.low in LINKS:
            return False
        if chunk.kind == "verb":
            return chunk.tag == "V"
        if chunk.is_part:
            return False
    return False


_LOOKING = frozenset(
    (
        "check checked checking look looked looking inspect inspected inspecting test tested testing watch watched watching feel "
        "feeling felt listen listening listened tap tapped dye dyed measure measured examine examined hunt hunting search went"
    ).split()
)
_TO_COME = frozenset({"'ll", "will", "to", "'d", "would", "can", "could", "won't", "'ll just", "shall", "should"})
_HAPPENED_WELL = frozenset(
    {
        "came",
        "come",
        "backed",
        "undid",
        "went",
        "slid",
        "pulled",
        "lifted",
        "unscrewed",
        "wound",
        "coming",
        "drops",
        "popped",
        "spun",
        "screwed",
    }
)


def _is_idle(clause: Clause, at: int, chunk: Chunk, state: State) -> bool:
    """Leave out a good word about how something came off, and a bare verdict on a number."""
    condition = chunk.conditions[0]
    before = clause.chunks[at - 1] if at else None
    if (
        before is not None
        and before.kind == "condition"
        and chunk.low in ("solid", "well", "right", "bad", "stiff", "thin", "up")
    ):
        return True
    if chunk.tag == "adjective" and before is not None and before.kind == "determiner":
        return True
    if chunk.tag == "adjective" and at + 1 < len(clause.chunks) and clause.chunks[at + 1].kind in ("amount", "number"):
        return chunk.low in ("bang on", "spot on", "dead", "down", "flat", "round", "true")
    if (before is not None and before.low in _TO_COME) or (
        before is not None and before.kind == "adverb" and at > 1 and clause.chunks[at - 2].low in _TO_COME
    ):
        return True
    if state.is_correcting and clause.has("i said"):
        return True
    after = clause.chunks[at + 1] if at + 1 < len(clause.chunks) else None
    if after is not None and after.pronoun in ("one", "ones") and before is not None and before.pronoun in ("that", "this", "those", "these"):
        return True
    if chunk.tag == "noun" and before is not None and before.low == "for" and any(c.low in _LOOKING for c in clause.chunks[:at]):
        return True
    earlier = {c.low for c in clause.chunks[:at]}
    if "to" in earlier and any(c.tag == "B" for c in clause.chunks[:at]) and chunk.tag == "adjective":
        return True
    if condition.polarity == "good" and (earlier & _HAPPENED_WELL or _is_said_of_deed(clause.chunks[:at])):
        return True
    if chunk.tag == "noun" and condition.term in ("noisy", "rumbling") and before is not None and chunk.determiner in ("that", "the", "this"):
        return True
    if (
        condition.term in ("free", "sound")
        and any(c.fastener for c in clause.chunks[:at] if c.is_part)
        and condition.term == "free"
    ):
        return True
    if (
        chunk.low in ("good", "fine", "nice", "lovely", "well", "great", "bad")
        and clause.chunks[at + 1 : at + 2]
        and clause.chunks[at + 1].low in ("for", "idea", "luck", "job")
    ):
        return True
    if (
        condition.polarity == "good"
        and clause.chunks[0].pronoun in ("that", "it")
        and any(c.kind in ("amount",) for c in state.last_chunks)
    ):
        return True
    if (
        any(c.kind == "amount" for c in clause.chunks)
        and condition.term
        in ("worn", "play", "end float", "backlash", "out of true", "oval", "tapered", "thin", "side play")
        and chunk.tag == "noun"
    ):
        return True
    if (
        chunk.tag == "noun"
        and at + 1 < len(clause.chunks)
        and clause.chunks[at + 1].kind == "aux"
        and any(c.kind in ("amount", "number") for c in clause.chunks[at + 1 :])
    ):
        return True
    if condition.term in ("play", "missing") and earlier & {"up"} and chunk.tag == "verb":
        return True
    return False


def _attributes(clause: Clause, state: State) -> list[Finding]:
    """Read conditions said before the noun: "there's a cracked tooth", "two bent spokes"."""
    found = []
    for at, chunk in enumerate(clause.chunks):
        if (
            not chunk.is_part
            or not chunk.attributes
            or chunk.determiner in ("the", "that", "this", "those", "these", "any", "no", "every", "my", "your")
        ):
            continue
        if any(c.low in ("wants", "need", "needs", "order", "want") for c in clause.chunks[:at]):
            continue
        bearer = resolve(chunk, state.focus, state.lexicon)
        if bearer is None or bearer.component is None:
            continue
        presence, cue, degree = _polarity(clause, at, state)
        for condition, text in chunk.attributes:
            found.append(
                Finding(
                    component=bearer.component, position=bearer.position, condition=condition.term, presence=presence or "present",
                    degree=degree, count=bearer.count, of=bearer.of, span=state.span(chunk.start, chunk.end), cue=cue or text,
                    rule="finding.attribute",
                )
            )  # fmt: skip
    return found


def _shadow(clause: Clause, state: State) -> list[Finding]:
    """What a clause about other machines would have found, for "... but nothing on this one"."""
    subject, subject_at = subject_of(clause, state.focus, state.lexicon)
    found = []
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind == "condition":
            finding = _finding(clause, at, chunk, state, subject, subject_at)
            if finding is not None:
                found.append(finding)
    return found or state.shadow


_NOTHING_THERE = re.compile(
    r"^(?:and |but )*(?:nothing|none|not a thing|no such thing) (?:at|on|in|down|up|round|along|under|near) "
)
_DENIES = re.compile(
    r"^(?:and |but |so |there's |i see |i found |found )*(?:nothing|none|no sign|not a thing|not so|no trouble|no such)\b[\w ]*\b(?:this|here|these|it|them)\b|"
    r"\b(?:neither|none)\b[\w ]* (?:does|do|is|are|has|have|did|was|were)$|\b(?:this|these)(?: ones?| un| two| pair)? (?:doesn't|don't|isn't|aren't|hasn't|haven't|wasn't|weren't|didn't)$|\b(?:it|they|he|she) (?:wasn't|weren't|isn't|aren't|didn't|hasn't|haven't)$|\bnot (?:on )?(?:this|these)(?: one| ones| time)?$"
)


def _echo(clause: Clause, state: State) -> list[Finding]:
    """ "Last one had a hairline in the web ... and nothing on this one": the condition just told, and not here."""
    if any(c.kind == "condition" for c in clause.chunks):
        return []
    if state.own_findings and _NOTHING_THERE.search(clause.low):
        last = state.own_findings[-1]
        place = re.sub(r"^.*?(?:nothing|none|not a thing|no such thing) ", "", clause.low)
        return [
            replace(
                last,
                presence="absent",
                degree=None,
                position=place,
                span=state.span(clause.start, clause.end),
                cue="nothing",
                rule="finding.echo",
            )
        ]
    if not state.shadow:
        return []
    said = _DENIES.search(clause.low.replace(" '", "'"))
    if said is None:
        return []
    count = 2 if clause.has("neither") else None
    return [
        replace(
            f,
            presence="absent",
            degree=None,
            count=count,
            of=count,
            span=state.span(clause.start, clause.end),
            cue=said.group(),
            rule="finding.echo",
        )
        for f in state.shadow
        if f.presence != "absent"
    ]


_FAULTLESS = (
    "nothing wrong with", "nothing the matter with", "nowt wrong with", "nothing amiss with", "no complaints about", "no complaints with",
    "nothing up with", "no issues with", "no fault in", "no faults in", "no problem with", "no problems with", "can't fault", "nothing wrong",
    "not a thing wrong with", "no faults on", "nothing bad to say about", "no worries with", "no fault with", "happy with", "nothing to report on",
    "no trouble with", "no issue with", "couldn't fault", "nothing actually wrong with", "not a thing wrong",
)  # fmt: skip


def _nothing_wrong(clause: Clause, state: State, subject: Bearer | None) -> Finding | None:
    text = clause.low
    said = next((p for p in _FAULTLESS if p in text), None)
    if said is None or any(f"not {said}" in text or f"{n} {said}" in text for n in ("not", "isn't", "aren't", "ain't")):
        return None
    end = text.index(said) + len(said)
    length = 0
    bearer = subject
    for chunk in clause.chunks:
        length += len(chunk.low) + 1
        if length > end and chunk.is_part and (named := resolve(chunk, state.focus, state.lexicon)):
            if not (
                chunk.pronoun in ("it", "they", "that", "this", "these") and subject is not None and subject.is_named
            ):
                bearer = named
            break
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    return Finding(
        component=bearer.component, position=bearer.position, condition="sound", presence="present", count=bearer.count, of=bearer.of,
        span=state.span(clause.start, clause.end), cue=said, rule="finding.faultless", doubt=bearer.doubt,
    )  # fmt: skip


def _not_inspected(clause: Clause, state: State) -> Finding | None:
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "cue" or chunk.cue != "not_looked.said":
            continue
        for part in [*clause.chunks[at + 1 :], *reversed(clause.chunks[:at])]:
            if part.is_part and (bearer := resolve(part, state.focus, state.lexicon)) and bearer.component:
                return Finding(
                    component=bearer.component, position=bearer.position, condition="not inspected", presence="present", count=bearer.count,
                    of=bearer.of, span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
                )  # fmt: skip
        if state.focus.bearer is not None:
            return Finding(
                component=state.focus.bearer.component, position=state.focus.bearer.position, condition="not inspected",
                span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
            )  # fmt: skip
    return None


def _tidy_up(found: Sequence[Finding]) -> list[Finding]:
    """Drop a second mention of the same condition on the same part in one clause."""
    out: list[Finding] = []
    for finding in found:
        if all(
            (f.component, f.position, f.condition, f.presence)
            != (finding.component, finding.position, finding.condition, finding.presence)
            for f in out
        ):
            out.append(finding)
    return out
