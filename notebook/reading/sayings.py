"""What is said for others and for the record: cautions, tips, photo cues, corrections.

In: clauses of a remark. Out: those entries, with the words as said; the moods of clauses that warn or instruct.
Never reads a finding.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from notebook.entries import Caution, Correction, Entry, PhotoCue, Tip
from notebook.reading.bearers import resolve
from notebook.reading.clause import ELSEWHERE, FACT, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.marking import plain_words
from notebook.reading.state import State

# --- cautions and tips -----------------------------------------------------------------------------------

_IMPERATIVE_NO = frozenset({"don't", "never", "do not", "dinnae", "dinna", "don't ever", "never ever"})
_HARMLESS = re.compile(
    r"^(so |and |but )?(don't|never|do not) (know|think|see|need|mind|ask|worry|matter|bother|fret|panic|fuss|laugh|get me|forget to order|look|reckon|like|seem|feel|have|want|suppose|believe|seen|had|mind me|quote|expect|care|trust me)\b"
)
_WARNING_START = re.compile(
    r"^(?:so |and |but |right |now |oh |well |just |please |mind |also |or |here |lads |again )*"
    r"(mind (?:you don't|your|the|out|how|that you|yer|you|it)|be careful|careful|go easy|go steady|go canny|watch (?:out|your|the|that|it|for|you|yer|how)|beware|whatever you do|keep (?:your|clear|away|well|all|hands|fingers|everybody|it away|heat|sparks|off)|stay clear|take care|make sure (?:you don't|nobody|no one|it's isolated|the|it's)|"
    r"no (?:heat(?! need| requ| want| at all$)|naked|flames?|levering|prising|hammers?|hammering|smoking|sparks|torch)|wear (?:gloves|goggles|a mask|your|eye)|gloves on|goggles on|mask on|eye protection|isolate|lock (?:it )?off|discharge|depressurise|chock|prop|support|let it cool|warning|caution|danger|steady|under no circumstances|heads up|easy (?:with|on|now)|get help|two (?:man|person|of you)|dinnae|dinna|ca' canny|for (?:god|heaven|pity|christ))"
)  # fmt: skip
_DANGER = re.compile(
    r"\b(or (?:you|it|they|the \w+|that|she|he|yer)(?: \w+)? ?(?:'ll|will|'d)|or else|you(?:'ll| 'll| will) (?:lose|break|strip|snap|crack|shear|ruin|damage|wreck|chip|split|tear|bend|score|distort|have (?:your|the|it|a)|knacker|never|end up|crush|trap|pull|burn|cut|round|mark)|"
    r"(?:lose|take|have|trap|nip|crush) (?:your|yer|a) (?:fingers?|hands?|thumb|arm|eye|toes?|foot)|asbestos|under (?:tension|pressure|load|spring)|spring loaded|stored energy|will fly|'ll fly|fly (?:out|off|across)|'ll (?:bite|have your|take your|fire|shoot|ping|crack|shatter|snap|let go|fall|drop on|kick)|bites back|still live|live (?:wire|feed|terminal|when)|razor sharp|sharp (?:edges?|as)|scald|acid|"
    r"can(?:'t| 't)? stand (?:heat|hammering)|explode|fumes|toxic|poison|nasty stuff|burn you|hot enough|could (?:lose|kill|crush|fall|fly|take)|will (?:crack|snap|shatter|break|strip|chip) if|cracks? if you|breaks? if you|snaps? if you|strips? if you|easily (?:cracked|broken|stripped|chipped|damaged|bent)|brittle so|fragile|one[- ]use only|(?:heavy|weighs) (?:enough|so|mind|get)|(?:left|reverse) hand thread (?:so|mind)|never (?:lever|hammer|heat|use|lift|drive|stand|put|run|turn|let|try|pull|reach|work|prise|pry|force|hit|undo|slacken|loosen|start|trust|leave|mix|reuse|weld|grind|touch|tighten|clamp))\b"
)  # fmt: skip
_TIP_START = re.compile(
    r"^(?:so |and |but |right |now |well |also |oh |ok |okay |just |then )*"
    r"(?:the |here's the |here's a |my |a |wee |best |handy |good |old |little )*(trick(?:'s| is| here| to| with|,)|knack|dodge|secret(?:'s| is| to)|tip (?:for|here|is to|there)|way to|way of|easiest|best way|best to|best bet|better to|easier to|easier if|quicker to|quickest|quicker if|if you (?:don't have|haven't|'ve no|have no|warm|heat|leave|put|tap|turn|use|lift|want|need|take|start|hold|push|pull|soak|get|do|run|rotate|slacken|wind|cut|make|ever|can't|line)|if ye |for (?:whoever|next time|the next|anyone|them that)|next time|whoever(?:'s| does| gets)?|note for|remember to|be sure to|make sure (?:you|to|it|they|that)|you want to|you need to|you have to|you've got to|you gotta|you'll (?:want|need|have) to|ye (?:want|need|have) to|what you do|what i do|what works|i (?:always|find)|always|it helps|helps (?:to|if)|it pays|pays to|worth|one (?:for|thing)|only way|you can (?:get|do|use|shift|make|hold|turn|pull|free)|saves? (?:you|time|a lot|fighting)|handy to|don't forget (?:to|the|that)|dodge|start (?:with|from|at)|work (?:from|round|your|it)|leave (?:it|them|the \w+) (?:to soak|overnight|in the freezer)|give (?:it|them|her|him|the \w+) a (?:tap|twist|soak|turn|clout|wiggle|good soak|warm|squirt|rap|knock|dose)|a (?:bar|dab|smear|drop|blob|length|bit of|wee|piece of|loop|bolt|nut|strip|pair of|squirt|rap|tap|sharp|cut-down|cut|spot|couple of|block|bent|magnet|strap|rag|lump|touch of|g|sharpened|dot))"
)  # fmt: skip
_WORKS = re.compile(
    r"\b(works? (?:a treat|well|lovely|a charm|grand|best|great|fine|better|every time|wonders|like a charm|nicely)|does the (?:job|trick)|do the (?:job|trick)|makes life easier|slides? (?:on|off|out|straight) (?:easy|easier|lovely|no bother)|(?:comes?|drops?|slides?|falls?|pops?|lifts?|walks?) (?:straight |right |just |easy |easily |clean |away )*(?:out|off|in|on)(?: by itself| on its own| easy| easier| lovely| no bother| sweet| like butter)?|saves (?:you|your|time|fighting)|holds? the|stops? (?:it|the|them) (?:turning|dropping|falling|binding|spinning)|gives you|undoes (?:clockwise|anticlockwise|the wrong way|backwards)|the trick|the knack|easier that way|that's the way|every time)\b"
)
_DONE_TO_PART = re.compile(
    r"^(?:so |and |then |just |right |now |we'll |i'll )*(?:get|take|grab|snap|have) (?:a |another |me a |us a |some |one )?(?:\w+ )?(?:photo|picture|pic|shot|snap|close up)|^(?:so |and |then |just )*(?:order|bin|scrap|skip|chuck|replace|renew|change|reuse|keep|clean|wash|skim|hone|regrind|check|measure|test|bag|tag|label|put|stick|photo|photograph|scratch|forget|strike|ignore|cancel|send|dump|weigh|call it|call that|say|make that|let's|reline|crack test|dye|hold|park|leave it|leave that|leave them|note|mark|get (?:it|them|that|'em|those|these|the \w+) (?:\w+ed|ground|re\w+)|fit new|new|ask|see what|wait)\b"
)  # fmt: skip


def set_speech_moods(clauses: Sequence[Clause], state: State) -> None:
    """Mark clauses that warn or instruct, so that nothing in them is taken for a fact of the job."""
    for n, clause in enumerate(clauses):
        if clause.mood in (QUESTION, ELSEWHERE):
            continue
        text = plain_words(clause)
        if _HARMLESS.match(text):
            continue
        if _is_warning(clause, text):
            clause.mood = WARNING
        elif _is_tip(clauses, n, text):
            clause.mood = INSTRUCTION


def _is_warning(clause: Clause, text: str) -> bool:
    if any(w in text for w in ("photo", "picture", "pic ", "shot of")):
        return False
    if re.match(r"^(so |and |but |now |well |right )*(don't|never|do not|dinnae|dinna) \w+", text) and not re.match(
        r"^(so |and |but )*never (been|had|seen|was|found|got|did)", text
    ):
        return True
    if _WARNING_START.match(text):
        return not text.startswith(("mind you ", "mind the time")) or "don't" in text
    return bool(_DANGER.search(text))


def _is_tip(clauses: Sequence[Clause], n: int, text: str) -> bool:
    clause = clauses[n]
    if any(w in text for w in ("photo", "picture", "pic ", "shot of")):
        return False
    if _TIP_START.match(text):
        return not (
            text.startswith("always been")
            or (text.startswith(("a bit", "a dab")) and clause.chunks[0].kind == "condition")
        )
    first = clause.chunks[0]
    if first.kind == "verb" and first.tag == "B" and clause.joiner in ("", "then", "and", ","):
        before = clauses[n - 1] if n else None
        if (
            clause.joiner in ("", ",")
            and not _DONE_TO_PART.match(text)
            and (
                before is None
                or before.sentence != clause.sentence
                or before.mood == INSTRUCTION
                or len(before.chunks) == 1
            )
        ):
            return True
        if any(w in f" {text} " for w in (" you ", " your ", " you'll ", " before you ")) and not _DONE_TO_PART.match(
            text
        ):
            return True
        return before is not None and before.sentence == clause.sentence and before.mood == INSTRUCTION
    if first.low == "warm" and clause.joiner == "":
        return True
    return False


def read_cautions_and_tips(clauses: Sequence[Clause], state: State) -> list[Entry]:
    """Give cautions and tips with their words, each from where it begins to where its sentence turns."""
    found: list[Entry] = []
    n = 0
    while n < len(clauses):
        clause = clauses[n]
        if clause.mood not in (WARNING, INSTRUCTION):
            n += 1
            continue
        first, last = n, n
        if clause.mood == WARNING and n and clauses[n - 1].sentence == clause.sentence and clause.joiner == "or":
            first = n - 1
        while last + 1 < len(clauses) and _goes_on(clauses, last, clause.mood):
            last += 1
        if (
            first
            and clause.mood == WARNING
            and clauses[first - 1].cue == "if"
            and clauses[first - 1].sentence == clause.sentence
        ):
            first -= 1
        for covered in clauses[first : last + 1]:
            covered.mood = clause.mood if covered.mood == FACT else covered.mood
        if clause.mood == WARNING:
            while (
                last + 1 < len(clauses)
                and clauses[last + 1].sentence == clause.sentence
                and _may_belong(clauses[last + 1])
            ):
                last += 1
        text = state.words(clauses[first].start, clauses[last].end)
        topic = _topic(clauses[first : last + 1], state)
        span = state.span(clauses[first].start, clauses[last].end)
        if clause.mood == WARNING:
            found.append(Caution(topic=topic, text=text, span=span, cue=clauses[n].chunks[0].low, rule="caution"))
        else:
            found.append(Tip(topic=topic, text=text, span=span, cue=clauses[n].chunks[0].low, rule="tip"))
        n = last + 1
    return found


def _goes_on(clauses: Sequence[Clause], last: int, mood: str) -> bool:
    nxt = clauses[last + 1]
    if nxt.sentence != clauses[last].sentence:
        return False
    if any(w in nxt.low for w in ("photo", "picture")):
        return False
    if nxt.mood == mood:
        return True
    if nxt.mood == INSTRUCTION and nxt.joiner in ("and", "then", "", "so", "or"):
        return True
    if nxt.mood in (WARNING, INSTRUCTION):
        return False
    if (
        mood == INSTRUCTION
        and nxt.joiner != "but"
        and not any(c.kind == "amount" and c.amount and c.amount.dimension == "torque" for c in nxt.chunks)
    ):
        return True
    if nxt.joiner in ("but",) or (any(c.kind == "amount" for c in nxt.chunks) and mood == WARNING):
        return False
    if any(w in nxt.low for w in ("photo", "picture")):
        return False
    return nxt.joiner in (
        "or",
        "and",
        "because",
        "cause",
        "cos",
        "so",
        "or",
        "that",
        "how",
        "where",
        "if",
        "when",
        "till",
        "until",
        "otherwise",
        "then",
        "",
    ) or nxt.chunks[0].pronoun in ("it", "they", "that", "you")


def _may_belong(clause: Clause) -> bool:
    """Tell whether a clause after a warning may be its reason; it is told with it, and still read for itself."""
    return (
        clause.joiner not in ("but",)
        and not any(c.kind == "amount" for c in clause.chunks)
        and not _PHOTO.search(clause.low)
        and clause.mood in (FACT, WARNING, HYPOTHETICAL)
    )


def _topic(clauses: Sequence[Clause], state: State) -> str | None:
    for clause in clauses:
        for chunk in clause.chunks:
            if chunk.is_part and chunk.name and not chunk.is_unspecific and not chunk.tool and not chunk.container:
                return chunk.name
    return state.focus.bearer.component if state.focus.bearer else None


# --- photo cues ------------------------------------------------------------------------------------------

_PHOTO = re.compile(
    r"\b(photos?|photograph(?:ed|s)?|pictures?|pics?|piccy|(?:a |another |one |quick |get |grab )(?:shot|snap|close[ -]?up)|shot of|snap of|snap that|snap this|snap it)\b"
)
_NO_PHOTO = re.compile(
    r"\b(don't|no|never|without|not|isn't|forgot|can't|won't|needn't|wasn't|hadn't)\b[\w' ]{0,24}\b(photo|picture|pic|shot|snap|photograph)"
)
_BEFORE = re.compile(
    r"\b(got|took|taken|'ve|had|there's|already|have)\b[\w' ]{0,22}\b(photo|picture|pic|shot|snap|photograph)|(photo|picture|pic|shot|snap)[\w' ]{0,16}\b(taken|already|of that already|got)\b"
)


def read_photo_cues(clauses: Sequence[Clause], state: State) -> list[PhotoCue]:
    """Give the spoken photo cues of a remark."""
    found: list[PhotoCue] = []
    for clause in clauses:
        text = plain_words(clause)
        said = _PHOTO.search(text)
        if said is None or clause.mood in (QUESTION, ELSEWHERE, HYPOTHETICAL, USUAL) or _NO_PHOTO.search(text):
            continue
        if re.search(
            r"\b(in|from|on) the (photo|picture|pic)|(photo|picture)s? (in the|from the) (book|manual)|get the picture|big picture",
            text,
        ):
            continue
        found.append(
            PhotoCue(
                of=_photo_of(clause, state), which="before" if _BEFORE.search(text) else "next", span=state.span(clause.start, clause.end),
                cue=said.group(), rule="photo",
            )
        )  # fmt: skip
    return found


def _photo_of(clause: Clause, state: State) -> str | None:
    for at, chunk in enumerate(clause.chunks):
        if chunk.low == "of" and at + 1 < len(clause.chunks) and clause.chunks[at + 1].is_part:
            part = clause.chunks[at + 1]
            if part.name and not part.is_unspecific:
                return part.name
            bearer = resolve(part, state.focus, state.lexicon)
            return bearer.component if bearer else None
    for chunk in clause.chunks:
        if (
            chunk.is_part
            and chunk.name
            and not chunk.is_unspecific
            and not _PHOTO.search(chunk.low)
            and chunk.name not in ("photo", "picture", "shot")
        ):
            return chunk.name
    return state.focus.bearer.component if state.focus.bearer else None


# --- corrections -----------------------------------------------------------------------------------------

_CORRECTION = re.compile(
    r"^(?:right |oh |no |sorry |wait |hang on |actually |well |ah |hold on |and |oops |whoops |bugger |er |lads )*"
    r"(scratch (?:that|the|what)|scrap (?:that last|the last|that bit|what i)|strike (?:that|the|what)|forget (?:that|what|the last|about that)|ignore (?:that|what|the last|my last)|cancel (?:that|the last)|disregard|delete that|take that back|i take that back|correction|"
    r"scrub (?:that|the last|what)|rub that out|cross that out|wipe that|undo that|that's wrong|that was wrong|i was wrong|i got that wrong|i'm wrong|got that wrong|i said|i tell a lie|tell a lie|i told you wrong|i lied|my mistake|i misread|i meant|not what i said|what i said|that last one was wrong|that last one's wrong|bin that last|no wait|never mind that|back up|as you were|let me correct|make that|i've told a lie|told a lie)"
)  # fmt: skip
_LAST = re.compile(r"\b(last|that|remark|all that|what i said|that bit|previous|i just said)\b")


_SORRY = re.compile(
    r"^(sorry|wait no|no wait|no sorry|sorry no|correction|actually no|no actually|hang on no|no hang on|wait|no hold on|my mistake|oops|whoops)\b"
)


def _says_again(clauses: Sequence[Clause], state: State) -> Correction | None:
    """ "Sorry, the stick's thirty nine and a half": a figure said again after one in the remark before."""
    text = " ".join(plain_words(c) for c in clauses[:4])
    said = _SORRY.match(text.replace(" ,", ""))
    if said is None or state.memory.line is None or clauses[-1].mood == QUESTION:
        return None
    if not any(c.kind in ("amount", "number", "thread") or (c.is_part and c.count) for k in clauses for c in k.chunks):
        return None
    first = clauses[0]
    return Correction(
        scope="value",
        target=state.memory.line,
        span=state.span(first.start, first.chunks[0].end),
        cue=said.group(1),
        rule="correction.again",
    )


def read_correction(clauses: Sequence[Clause], state: State) -> Correction | None:
    """Give a correction of an earlier remark ("scratch that last one", "no wait, it's 159"); None when there is none."""
    for n, clause in enumerate(clauses[:4]):
        text = plain_words(clause)
        said = _CORRECTION.match(text)
        if said is None:
            continue
        verb = said.group(1)
        if (
            verb.startswith(("i said", "i meant", "what i said"))
            and not re.search(r"\b(sorry|no|wait|correction)\b", " ".join(plain_words(c) for c in clauses[: n + 1]))
            and "but" not in [c.joiner for c in clauses]
        ):
            continue
        rest = clauses[n + 1 :]
        has_value = any(
            any(k.kind in ("amount", "number", "thread") or (k.is_part and k.count) for k in c.chunks)
            for c in [*rest, clause]
        )
        undoes_all = verb.startswith(
            (
                "scratch",
                "strike",
                "forget",
                "ignore",
                "cancel",
                "disregard",
                "delete",
                "scrub",
                "rub",
                "cross",
                "wipe",
                "undo",
                "take",
                "i take",
                "bin",
                "never mind",
            )
        )
        scope = "last remark" if undoes_all or not has_value else "value"
        end = clauses[n].end
        return Correction(
            scope=scope, target=state.memory.line, span=state.span(clauses[0].start, end), cue=verb, rule="correction",
            doubt=None if state.memory.line else "nothing said before for this to undo",
        )  # fmt: skip
    return _says_again(clauses, state)
