"""Dispositions and steps: what is to happen to a part, and what was done to get there.

In: a clause, and what was spoken of before. Out: dispositions and steps of this job.
What will be done is no step; what somebody else did is no step; what is not to be done is no disposition.

Examples: "that'll go again" reuse, "bin the rotor" scrap, "it wants changing" replace,
"brake band's off" removed, "drained the oil" opened, "hub's back together" refitted.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Disposition, Step
from notebook.reading.actions import Action, find_actions
from notebook.reading.bearers import Bearer, is_sub_part, resolve, subject_of, subjects_of
from notebook.reading.chunks import Chunk
from notebook.reading.clauses import ELSEWHERE, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.marking import is_mark
from notebook.reading.state import State

_NOT_MEANT = frozenset({QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, WARNING})
_NEGATIVE = frozenset(
    (
        "not don't doesn't didn't isn't aren't won't never no can't cannot shouldn't needn't wouldn't wasn't "
        "weren't haven't hasn't nor dinnae isnae 'nt without nae"
    ).split()
)
_FUTURE = frozenset(
    (
        "'ll will gonna going to before when once till until if next want wants need needs should can could "
        "would 'd might must let's let have-to"
    ).split()
)
_DESK_WORDS = (
    "half a mind",
    "tempted",
    "might as well",
    "thinking about",
    "could do with",
    "in two minds",
    "if it was mine",
    "if it were mine",
    "if it were me",
    "i'd be",
)
_PLAN_VERBS = frozenset(
    {"clean", "wash", "check", "measure", "test", "replace", "change", "order", "scrap", "skim", "hone"}
)


def read_dispositions(clause: Clause, state: State) -> list[Disposition]:
    """Give what a clause says is to happen to a part."""
    if clause.mood in _NOT_MEANT and clause.mood != WARNING:
        return []
    if clause.mood in (WARNING, INSTRUCTION) or any(w in clause.low for w in _DESK_WORDS):
        return []
    if clause.joiner in (
        "before",
        "when",
        "once",
        "till",
        "until",
        "if",
        "after",
        "while",
        "unless",
        "whenever",
        "where",
    ):
        return []
    words, verbs = clause.words()
    found: list[Disposition] = []
    for action in find_actions(words, "disposition", state.lexicon, verbs):
        name = _meant(action, words, clause, state)
        if name is None:
            continue
        for bearer in (_whole_of(b, name, state) for b in _objects(clause, words, action, state)):
            found.append(
                Disposition(
                    component=bearer.component, position=bearer.position, action=name, count=bearer.count, done=_is_done(words, action) or None,
                    span=state.span(clause.start, clause.end), cue=action.words, rule=f"disposition.{name}", doubt=bearer.doubt, from_=bearer.from_,
                )
            )  # fmt: skip
    found.extend(_new_parts(clause, state, found))
    return _once(found)


def _whole_of(bearer: Bearer, action: str, state: State) -> Bearer:
    """ "Two teeth are chipped, so that's scrap": the gear is, not the teeth."""
    if (
        bearer.is_named
        or not is_sub_part(bearer.component)
        or state.focus.whole is None
        or action in ("rework", "clean", "check")
    ):
        return bearer
    return state.focus.whole


def _meant(action: Action, words: Sequence[str], clause: Clause, state: State) -> str | None:
    """Give the action that is meant, or None when it is denied, past, or only looks like one."""
    before = list(words[max(0, action.start - 5) : action.start])
    name = action.action
    negative = any(w in _NEGATIVE for w in before[-4:])
    if negative:
        if name in ("replace", "scrap", "order") and any(
            w in ("need", "needs", "needed", "wants", "want", "worth", "doesn't", "don't") for w in before
        ):
            return "reuse" if name == "replace" else None
        return None
    verb = action.verb
    after = list(words[action.end : action.end + 5])
    if "not" in after and any(w in after for w in ("required", "needed", "necessary", "wanted", "warranted")):
        return None
    if "new" in action.words and any(w in words for w in ("at", "went")) and _has_running(clause):
        return None
    if name == "reuse" and ("on refitting" in clause.low or (action.words not in _PLAINLY_REUSE and is_mark(clause))):
        return None
    if name == "send out" and any(c.pronoun in ("i", "we", "he") for c in clause.chunks[:1]) and verb is None:
        return None
    if name in ("reuse", "check") and _has_size(clause):
        return None
    if action.words.split()[-1] == "new" and _names_new_part(clause, words, action):
        return None
    if name == "check" and (
        any(w in ("i", "we", "i've", "'ve", "been") for w in before[-2:]) and _is_past(words, action)
    ):
        return None
    if (
        name in ("clean", "rework", "check", "replace")
        and verb is not None
        and _is_past(words, action)
        and not _is_passive_plan(words, action)
    ):
        return None
    if (
        name == "check"
        and verb in ("check", "measure", "test", "clock", "mic", "gauge", "inspect")
        and not _is_plan(words, action, clause)
    ):
        return None
    if (
        name in ("clean", "rework", "replace", "scrap", "order", "overhaul", "modify", "send out", "hold")
        and verb is not None
        and not _is_plan(words, action, clause)
        and not _is_passive_plan(words, action)
        and not _is_done(words, action)
    ):
        return None
    return name


def _names_new_part(clause: Clause, words: Sequence[str], action: Action) -> bool:
    """ "Having a new tab washer": the part after "new" is read by itself."""
    for chunk, (first, last) in zip(clause.chunks, _word_places(clause), strict=True):
        if first < action.end <= last and chunk.is_part and chunk.name and not chunk.is_unspecific:
            return True
    return False


_PLAINLY_REUSE = frozenset(
    {
        "go again",
        "goes again",
        "use again",
        "reuse",
        "can stay",
        "'ll do",
        "good to go",
        "it'll do",
        "that'll do",
        "will do",
    }
)


def _has_running(clause: Clause) -> bool:
    return any(
        (c.kind == "amount" and c.amount and c.amount.dimension == "running")
        or (c.kind == "number" and c.value and c.value >= 100)
        for c in clause.chunks
    )


def _has_size(clause: Clause) -> bool:
    return any(c.kind == "amount" for c in clause.chunks)


def _is_past(words: Sequence[str], action: Action) -> bool:
    word = words[action.start]
    return word.endswith("ed") or word in (
        "ground",
        "sent",
        "took",
        "bought",
        "threw",
        "was",
        "were",
        "had",
        "chucked",
        "binned",
    )


def _is_passive_plan(words: Sequence[str], action: Action) -> bool:
    """ "Getting changed", "to be skimmed", "have it skimmed", "needs replacing", "wants doing"."""
    before = list(words[max(0, action.start - 5) : action.start])
    return any(
        w
        in (
            "get",
            "gets",
            "getting",
            "be",
            "being",
            "having",
            "have",
            "want",
            "wants",
            "need",
            "needs",
            "get's",
            "needing",
            "requires",
            "wanting",
            "having",
            "for",
        )
        for w in before
    )


def _is_plan(words: Sequence[str], action: Action, clause: Clause) -> bool:
    """Tell "I'll skim it", "skim it", "needs a skim" from "that skims the surface"."""
    word = words[action.start]
    before = list(words[max(0, action.start - 4) : action.start])
    if any(
        w
        in (
            "'ll",
            "will",
            "going",
            "gonna",
            "to",
            "'m",
            "need",
            "needs",
            "want",
            "wants",
            "get",
            "gets",
            "getting",
            "having",
            "have",
            "must",
            "should",
            "can",
            "gotta",
            "be",
            "being",
            "so",
            "just",
            "for",
            "a",
            "could",
            "gets",
            "let's",
            "we're",
            "best",
            "straight",
            "and",
            "then",
        )
        for w in before
    ):
        return True
    if not before:
        return True
    return all(
        w in ("and", "then", "so", "just", "or", "also", "i", "we", "right", "well") for w in before
    ) or word.endswith("ing")


def _is_done(words: Sequence[str], action: Action) -> bool:
    before = list(words[max(0, action.start - 4) : action.start])
    if action.words == "on order" or "already" in before or "already" in words[action.end : action.end + 2]:
        return True
    return (
        any(w in ("'ve", "have", "has") for w in before)
        and _is_past(words, action)
        and "be" not in before
        and "having" not in before
        and not any(w in ("to", "'ll", "must") for w in before)
    )


def _objects(clause: Clause, words: Sequence[str], action: Action, state: State) -> list[Bearer]:
    """Give the parts an action is about: its object, else the subject, else what was spoken of."""
    places = _word_places(clause)
    after = [n for n, (first, _) in enumerate(places) if first >= action.start]
    parts: list[Bearer] = []
    if action.verb is not None and not _is_passive(words, action):
        for n in after:
            chunk = clause.chunks[n]
            if chunk.kind in ("preposition",) and parts:
                break
            if chunk.kind == "preposition" and chunk.low in ("with", "for", "in", "on", "at", "by", "till", "to"):
                break
            if (
                chunk.is_part
                and chunk.pronoun not in ("i", "you", "we")
                and not (chunk.tool and not chunk.is_known)
                and not chunk.is_unspecific
            ):
                bearer = resolve(chunk, state.focus, state.lexicon)
                if bearer is not None and (bearer.component or bearer.doubt):
                    parts.append(bearer)
    if not parts:
        parts = _subjects(clause, action, places, state)
    if not parts:
        parts = [Bearer(doubt="which part is not said")]
    if len(parts) == 1 and parts[0].count == 2 and parts[0].of == 2 and not parts[0].is_named:
        pair = _pair(state)
        if pair:
            return pair
    if (
        len(parts) == 1
        and not parts[0].is_named
        and not clause.has("it", "that", "this", "him", "her")
        and clause.has("they", "both", "pair", "them")
    ):
        pair = _pair(state)
        if pair:
            return pair
    return parts


def _pair(state: State) -> list[Bearer] | None:
    """ "They're scrap, the pair of them": the last two parts spoken of, when they are two."""
    names: list[Bearer] = []
    for bearer in reversed([*state.memory.named, *state.focus.named]):
        if bearer.component and all(b.component != bearer.component for b in names):
            names.append(bearer)
    return names[::-1] if len(names) == 2 else None


def _word_places(clause: Clause) -> list[tuple[int, int]]:
    places, at = [], 0
    for chunk in clause.chunks:
        length = len(chunk.low.split())
        places.append((at, at + length))
        at += length
    return places


def _is_passive(words: Sequence[str], action: Action) -> bool:
    before = list(words[max(0, action.start - 3) : action.start])
    return (
        bool(before)
        and before[-1]
        in (
            "being",
            "be",
            "been",
            "getting",
            "gets",
            "get",
            "needs",
            "wants",
            "want",
            "need",
            "'s",
            "'re",
            "is",
            "are",
            "was",
            "were",
        )
        and words[action.start].endswith(("ed", "ing", "t", "n"))
    )


def _subjects(clause: Clause, action: Action, places: Sequence[tuple[int, int]], state: State) -> list[Bearer]:
    out: list[Bearer] = []
    for chunk, (first, _) in zip(clause.chunks, places, strict=True):
        if first >= action.start:
            break
        if chunk.kind in ("preposition",) and out:
            break
        if (
            chunk.is_part
            and chunk.pronoun not in ("i", "you", "we")
            and not (chunk.container and not chunk.is_known)
            and not (chunk.name and chunk.is_unspecific and chunk.name not in ("pair", "lot", "rest"))
        ):
            bearer = resolve(chunk, state.focus, state.lexicon)
            if bearer is not None and (bearer.component or bearer.doubt):
                out.append(bearer)
    if out:
        return out[-2:] if len(out) > 1 and " and " in f" {clause.low} " else out[-1:]
    if state.focus.bearer is not None:
        return [state.focus.bearer]
    return []


_NEW = frozenset({"new", "fresh"})
_WANTING = frozenset(
    (
        "having have wants want needs need gets get getting put fit fitting so 'll for make making with going "
        "goes ordered order"
    ).split()
)


def _new_parts(clause: Clause, state: State, found: Sequence[Disposition]) -> list[Disposition]:
    """ "So new seal", "it's having a new tab washer", "wants a new axle": the part after "new" is replaced."""
    out: list[Disposition] = []
    for at, chunk in enumerate(clause.chunks):
        if (
            chunk.is_part
            and chunk.pronoun in ("one", "ones")
            and "new" in chunk.low.split()
            and len(clause.chunks) <= 3
            and state.focus.bearer
        ):
            spoken_of = state.focus.bearer
            out.append(
                Disposition(
                    component=spoken_of.component,
                    position=spoken_of.position,
                    action="replace",
                    span=state.span(clause.start, clause.end),
                    cue="new",
                    rule="disposition.new",
                )
            )
            continue
        if not chunk.is_part or not chunk.name or chunk.is_unspecific or not _NEW & set(chunk.adjectives):
            continue
        before = {w for c in clause.chunks[:at] for w in c.low.split()}
        if before & _NEGATIVE or any(
            c.low in ("was", "were", "in", "at", "like") for c in clause.chunks[max(0, at - 1) : at]
        ):
            continue
        if not (before & _WANTING) and clause.joiner not in ("so", "and", "then", "") and at > 1:
            continue
        if any(c.kind == "condition" for c in clause.chunks[at + 1 :]) or any(
            c.low in ("is", "was", "are", "were", "'s") for c in clause.chunks[at + 1 : at + 2]
        ):
            continue
        bearer = resolve(chunk, state.focus, state.lexicon)
        if bearer is None or any(d.component == bearer.component and d.action == "replace" for d in found):
            continue
        out.append(
            Disposition(
                component=bearer.component, position=bearer.position, action="replace", count=bearer.count, span=state.span(chunk.start, chunk.end),
                cue="new", rule="disposition.new",
            )
        )  # fmt: skip
    return out


def _once(found: Sequence[Disposition]) -> list[Disposition]:
    out: list[Disposition] = []
    for entry in found:
        if all((e.component, e.action, e.position) != (entry.component, entry.action, entry.position) for e in out):
            out.append(entry)
    named = {e.action for e in out if e.component}
    return [e for e in out if e.component or e.action not in named]


# --- steps -----------------------------------------------------------------------------------------------

_OTHERS = frozenset(
    (
        "he she they boy lad customer owner farmer driver somebody someone neighbour apprentice mate previous "
        "father dad son garage shop"
    ).split()
)


def read_steps(clause: Clause, state: State) -> list[Step]:
    """Give what a clause says was done."""
    if clause.mood in _NOT_MEANT | {INSTRUCTION} or clause.joiner in (
        "before",
        "when",
        "once",
        "till",
        "until",
        "if",
        "after",
        "while",
        "unless",
        "whenever",
    ):
        return []
    words, verbs = clause.words()
    if clause.chunks[0].low in ("before", "when", "once", "till", "until", "after", "while"):
        return []
    found: list[Step] = []
    for action in find_actions(words, "step", state.lexicon, verbs):
        if not _was_done(action, words, clause, state):
            continue
        bearer = _step_part(clause, words, action, state)
        if bearer is None or any(s.component == bearer.component and s.position == bearer.position for s in found):
            continue
        for other in _also_off(bearer, clause, state):
            found.append(
                Step(
                    action=action.action,
                    component=other.component,
                    position=other.position,
                    span=state.span(clause.start, clause.end),
                    cue=action.words,
                    rule="step.list",
                )
            )
        found.append(
            Step(
                action=action.action, component=bearer.component, position=bearer.position, off=_off(clause, action, bearer, state),
                note=None, span=state.span(clause.start, clause.end), cue=action.words, rule=f"step.{action.action}", from_=bearer.from_,
                doubt=bearer.doubt,
            )
        )  # fmt: skip
    if not found and (turned := _turned_round(clause, state)):
        found.append(turned)
    if not found and (bare := _bare_off(clause, state)):
        found.append(bare)
    return found


_OUT_COMES = frozenset({"come", "comes", "came", "with", "goes", "went"})


def _turned_round(clause: Clause, state: State) -> Step | None:
    """ "Out come the vanes", "off with its head": the particle first."""
    chunks = clause.chunks
    for at, chunk in enumerate(chunks[:-2]):
        if (
            chunk.low in ("out", "off", "away", "up")
            and chunks[at + 1].low in _OUT_COMES
            and chunks[at + 2].is_part
            and (at == 0 or chunks[at - 1].kind in ("conjunction", "adverb", "interjection"))
        ):
            bearer = resolve(chunks[at + 2], state.focus, state.lexicon)
            if bearer is not None and bearer.component:
                return Step(
                    action="removed",
                    component=bearer.component,
                    position=bearer.position,
                    span=state.span(clause.start, clause.end),
                    cue=f"{chunk.low} {chunks[at + 1].low}",
                    rule="step.turned",
                )
    return None


def _bare_off(clause: Clause, state: State) -> Step | None:
    """ "Prop nut off now", "cover off, four cap heads": off or out without a verb."""
    chunks = clause.chunks
    for at, chunk in enumerate(chunks[:-1]):
        if (
            chunk.is_part
            and chunk.name
            and not chunk.is_unspecific
            and chunks[at + 1].low in ("off", "out", "apart")
            and chunks[at + 1].kind in ("particle", "preposition")
        ):
            following = chunks[at + 2] if at + 2 < len(chunks) else None
            if any(c.kind in ("verb", "aux") for c in chunks[: at + 1]) or (
                following is not None and following.is_part and following.pronoun != "number"
            ):
                return None
            if following is not None and following.kind not in (
                "adverb",
                "conjunction",
                "number",
                "thread",
                "amount",
                "sign",
            ):
                return None
            bearer = resolve(chunk, state.focus, state.lexicon)
            if bearer is None:
                return None
            action = "opened" if chunks[at + 1].low == "apart" else "removed"
            return Step(
                action=action,
                component=bearer.component,
                position=bearer.position,
                span=state.span(clause.start, clause.end),
                cue=chunks[at + 1].low,
                rule="step.bare",
            )
    return None


def _also_off(bearer: Bearer, clause: Clause, state: State) -> list[Bearer]:
    """ "Head, plate and sleeve are all off": every part of a list came off."""
    subject, at = subject_of(clause, state.focus, state.lexicon)
    parts = subjects_of(clause, subject, at, state.focus, state.lexicon)
    if len(parts) < 2 or bearer.component not in [p.component for p in parts]:
        return []
    return [p for p in parts if p.component != bearer.component]


_DONE_FORMS = frozenset({"ed", "s"})


def _was_done(action: Action, words: Sequence[str], clause: Clause, state: State) -> bool:
    before = list(words[: action.start])
    near = before[-5:]
    if any(w in _NEGATIVE for w in near) or "already" in words or "next" in before[:3]:
        return False
    if any(
        w
        in (
            "'ll",
            "will",
            "going",
            "gonna",
            "to",
            "would",
            "'d",
            "should",
            "could",
            "can",
            "might",
            "must",
            "let's",
            "needs",
            "wants",
            "need",
            "want",
            "before",
            "when",
            "once",
            "if",
            "till",
            "until",
            "usually",
            "always",
        )
        for w in near
    ):
        if not (action.verb == "have" or "had" in near or "managed" in near):
            return False
    if any(w in _OTHERS for w in before) and "off" not in action.words.split()[-1:]:
        return False
    if any(w in _OTHERS for w in before[:4]):
        return False
    if action.verb is not None:
        word = words[action.start]
        classes = state.lexicon.word_classes(word)
        if "ed" not in classes and word not in ("got", "had", "cut", "split", "set", "put", "let", "drew", "drove"):
            if "ing" in classes and any(w in ("'m", "am", "'re") for w in near):
                return False
            return False
        if len(action.words.split()) == 1 and word in (
            "set",
            "tested",
            "tried",
            "started",
            "fitted",
            "pulled",
            "parted",
            "opened",
            "dropped",
            "fetched",
            "set",
        ):
            if any(
                w in ("'s", "is", "are", "was", "were", "been", "'re", "never", "be") for w in before[-2:]
            ) and word in ("set", "fitted", "opened", "pulled", "parted", "started", "split"):
                return False
            return action.end < len(words) or bool(before)
        if any(w in ("'s", "is", "are", "'re") for w in before[-2:]) and action.action in ("tested", "adjusted"):
            return False
        return True
    return not (
        any(c.container for c in clause.chunks if c.is_part) and "out" not in action.words and "off" not in action.words
    )


def _step_part(clause: Clause, words: Sequence[str], action: Action, state: State) -> Bearer | None:
    places = _word_places(clause)
    if action.verb is not None:
        for chunk, (first, _) in zip(clause.chunks, places, strict=True):
            if first <= action.start:
                continue
            if chunk.kind == "preposition" and first >= action.end:
                break
            if (
                chunk.is_part
                and chunk.pronoun not in ("i", "you", "we")
                and not (chunk.tool and not chunk.is_known and not chunk.fastener)
            ):
                return resolve(chunk, state.focus, state.lexicon)
    best: Bearer | None = None
    for at, (chunk, (first, _)) in enumerate(zip(clause.chunks, places, strict=True)):
        if first >= action.end:
            break
        if at and clause.chunks[at - 1].kind == "preposition" and best is not None:
            continue
        if chunk.is_part and chunk.pronoun not in ("i", "you", "we") and not chunk.container:
            bearer = resolve(chunk, state.focus, state.lexicon)
            if bearer is not None and (bearer.is_named or best is None):
                best = bearer
    if best is None or best.component is None:
        subject, _ = subject_of(clause, state.focus, state.lexicon)
        return subject
    return best


def _off(clause: Clause, action: Action, bearer: Bearer, state: State) -> str | None:
    """Give the assembly: "jockey pulley's off its arm", "lifted the drum out of the frame"."""
    for at, chunk in enumerate(clause.chunks):
        if (
            chunk.low in ("off", "from", "of", "out")
            and chunk.kind in ("preposition", "particle")
            and at + 1 < len(clause.chunks)
        ):
            part: Chunk = clause.chunks[at + 1]
            if part.is_part and part.name and not part.is_unspecific and not part.tool:
                named = resolve(part, state.focus, state.lexicon)
                if named and named.component and named.component != bearer.component:
                    return named.component
    return None
