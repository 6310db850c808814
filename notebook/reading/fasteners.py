"""Fasteners: what holds a part, how many, which thread, head and key, and how they came.

In: clauses of a remark in order. Out: fasteners; a set that is said in groups gives one a group.
Broken, bent and sheared fasteners are findings, not states; those are left to the findings rules.

Example: "cover's on eight M8 bolts, 13 mil heads, six came out free, two were seized and wanted heat".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from notebook.entries import Fastener
from notebook.reading.bearers import Bearer, resolve
from notebook.reading.clause import ELSEWHERE, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

STATES = {
    "tight": "tight", "loose": "loose", "seized": "seized", "rounded": "rounded", "stripped": "stripped", "cross-threaded": "cross-threaded",
    "missing": "missing", "free": "free", "soft": "soft", "stuck": "seized", "under-tightened": "loose", "chewed": "rounded",
    "over-tightened": "tight",
}  # fmt: skip
"""Condition terms that are the state of a fastener."""
_CAME = frozenset(
    (
        "came come coming backed undid undone unscrewed wound spun turned slackened cracked started broke "
        "screwed popped lifted slid"
    ).split()
)
_HARD = frozenset(["hard", "hammer", "fight", "swearing", "struggle", "bother", "stubborn", "reluctant", "grudgingly"])
_HEAT_YES = (
    "needed heat",
    "wanted heat",
    "with heat",
    "took heat",
    "bit of heat",
    "heat on",
    "needed the heat",
    "needed warming",
    "heat to shift",
    "heat before",
    "with the torch",
    "gas on",
    "the gas",
    "torch on",
    "warmed",
    "heated",
    "red hot",
    "cherry red",
    "some heat",
    "with a bit of heat",
    "warm it",
    "needing heat",
    "heat and",
    "with the blowlamp",
    "induction",
    "of heat",
    "the heat",
)
_HEAT_NO = (
    "no heat",
    "without heat",
    "didn't need heat",
    "no need for heat",
    "heat not needed",
    "never needed heat",
    "not even heat",
    "without any heat",
)


@dataclass(slots=True)
class _Group:
    component: str | None = None
    position: str | None = None
    count: int | None = None
    thread: str | None = None
    form: str | None = None
    length: Decimal | None = None
    driver: str | None = None
    state: list[str] = field(default_factory=list)
    heat: bool | None = None
    start: int = 0
    end: int = 0
    is_share: bool = False
    from_focus: bool = False

    @property
    def says_enough(self) -> bool:
        return any((self.count, self.thread, self.state, self.driver, self.heat is not None)) and bool(
            self.form or self.thread
        )


def read_fasteners(clauses: Sequence[Clause], subjects: Sequence[Bearer | None], state: State) -> list[Fastener]:
    """Give the fasteners of a remark; `subjects` is what each clause is about."""
    groups: list[_Group] = []
    for clause, subject in zip(clauses, subjects, strict=True):
        if clause.mood in (QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, INSTRUCTION):
            continue
        if clause.mood == WARNING and not any(driver_at(clause.chunks, at) for at in range(len(clause.chunks))):
            continue
        _read_clause(clause, subject, groups, state)
    return [_entry(g, state) for g in groups if g.says_enough]


def _read_clause(clause: Clause, subject: Bearer | None, groups: list[_Group], state: State) -> None:
    started = len(groups)
    for at, chunk in enumerate(clause.chunks):
        _start_group(clause, at, chunk, subject, groups, state)
    _add_drivers(clause, groups, state)
    _add_state(clause, subject, groups, groups[started:], state)


def _start_group(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, groups: list[_Group], state: State
) -> None:
    chunks = clause.chunks
    if chunk.kind == "thread":
        if (groups and groups[-1].end == chunk.start and groups[-1].thread is None) or _continues(clause, at, groups):
            group = groups[-1]
        else:
            group = _new_group(clause, at, chunk, subject, groups, state)
            group.count = _count_before(chunks, at)
        group.thread = chunk.thread
        group.length = Decimal(int(chunk.length_mm)) if chunk.length_mm is not None else group.length
        group.end = chunk.end
    elif chunk.is_part and chunk.fastener:
        if at and chunks[at - 1].kind == "thread" and groups:
            _name_form(groups[-1], chunk)
        elif at and chunks[at - 1].kind == "amount" and not chunks[at - 1].low.endswith(("n·m", "lbf·ft")):
            _sized_form(clause, at, chunk, subject, groups, state)
        else:
            group = _new_group(clause, at, chunk, subject, groups, state)
            group.count = chunk.count
            group.is_share = chunk.of is not None
            _name_form(group, chunk)


def _continues(clause: Clause, at: int, groups: Sequence[_Group]) -> bool:
    """ "Four head nuts, | half inch Whitworth": a bare thread says more of the set just named."""
    if not groups or groups[-1].thread is not None:
        return False
    before = clause.chunks[:at]
    return (
        all(
            c.kind in ("adverb", "aux", "preposition", "determiner", "number")
            or c.pronoun in ("they", "it", "all")
            or c.fastener
            for c in before
        )
        and _count_before(clause.chunks, at) is None
    )


def _new_group(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, groups: list[_Group], state: State
) -> _Group:
    component, from_focus = _held(clause, at, chunk, subject, state)
    group = _Group(
        component=component, position=chunk.position, start=chunk.start, end=chunk.end, from_focus=from_focus
    )
    groups.append(group)
    return group


def _name_form(group: _Group, chunk: Chunk) -> None:
    group.form = chunk.fastener
    group.end = chunk.end
    prefix = chunk.tag if chunk.tag not in ("N", "O", "Q") else ""
    if prefix:
        group.component = _singular_name(prefix)
    if chunk.fastener == "plug" and chunk.name:
        group.component = chunk.name
    elif chunk.owner:
        group.component = chunk.owner
    if chunk.attributes:
        for condition, _ in chunk.attributes:
            if condition.term in STATES:
                group.state.append(STATES[condition.term])


def _sized_form(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, groups: list[_Group], state: State
) -> None:
    """ "Eight 10 mm bolts": a size before a bolt is its head when it is no thread; keep it as said."""
    amount = clause.chunks[at - 1].amount
    group = _new_group(clause, at, chunk, subject, groups, state)
    group.count = chunk.count or _count_before(clause.chunks, at - 1)
    _name_form(group, chunk)
    if amount is not None and amount.value is not None:
        if amount.unit == "mm":
            group.driver = f"{float(amount.value):g} mm socket"
        elif amount.unit == "in":
            group.driver = f"{amount.value} in socket"


def _count_before(chunks: Sequence[Chunk], at: int) -> int | None:
    if at == 0:
        return None
    before = chunks[at - 1]
    if before.kind == "number" and before.value is not None and before.value.denominator == 1:
        return int(before.value)
    if before.is_part and before.name is None and before.count is not None:
        return before.count
    if before.kind == "sign" and before.low == "off" and at >= 2:
        return _count_before(chunks, at - 1)
    if before.kind in ("adjective", "determiner") and at >= 2:
        return _count_before(chunks, at - 1)
    return None


_HOLDING = frozenset(
    "on with by to has have got 's 've takes took uses wants had held hold holds holding secured".split()
)


def _held(clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, state: State) -> tuple[str | None, bool]:
    """Give what the fastener holds: "in the sump plate", "cover's on ...", else what was spoken of."""
    chunks = clause.chunks
    for i in range(at + 1, min(at + 6, len(chunks) - 1)):
        if (
            chunks[i].low
            in (
                "in",
                "on",
                "of",
                "round",
                "around",
                "holding",
                "hold",
                "holds",
                "for",
                "through",
                "into",
                "held",
                "securing",
                "off",
                "from",
            )
            and chunks[i + 1].is_part
        ):
            part = chunks[i + 1]
            if (
                part.pronoun == "place"
                and i + 3 < len(chunks)
                and chunks[i + 2].low in ("of", "on")
                and chunks[i + 3].is_part
            ):
                part = chunks[i + 3]
            if part.container or part.tool or part.fastener:
                continue
            bearer = resolve(part, state.focus, state.lexicon)
            if bearer and bearer.component and not part.is_unspecific:
                return bearer.component, False
    if subject is not None and subject.component and subject.fastener is None:
        return subject.component, not subject.is_named
    for named in reversed(state.focus.named):
        if named.fastener is None and named.component:
            return named.component, True
    return None, True


def _add_drivers(clause: Clause, groups: list[_Group], state: State) -> None:
    for at, chunk in enumerate(clause.chunks):
        driver = driver_at(clause.chunks, at) or head_size_at(clause, at)
        if driver is None or not groups:
            continue
        near = next((g for g in reversed(groups) if g.driver is None or g is groups[-1]), groups[-1])
        if near.driver is None:
            near.driver = driver
            near.end = max(near.end, chunk.end)


def head_size_at(clause: Clause, at: int) -> str | None:
    """Give the head of "axle nut's a 36 mil", where no spanner is named."""
    chunk = clause.chunks[at]
    if chunk.kind != "amount" or at == 0 or not any(c.kind == "aux" for c in clause.chunks[:at]):
        return None
    if any(
        c.low in ("long", "thick", "deep", "wide", "down", "diameter", "over", "under", "out", "proud") or c.quantity
        for c in clause.chunks
    ):
        return None
    subject = next((c for c in clause.chunks[:at] if c.is_part), None)
    if subject is None or subject.fastener is None:
        return None
    size = _size_text(chunk)
    return f"{size} socket" if size else None


def driver_at(chunks: Sequence[Chunk], at: int) -> str | None:
    """Give the key or spanner named at a chunk: "13 mm heads", "3/16 key", "36 mm socket", "1/4 BS spanner"."""
    chunk = chunks[at]
    if chunk.kind not in ("amount", "number"):
        return None
    words = [w for c in chunks[at + 1 : at + 5] for w in c.low.split() if c.kind != "sign"][:5]
    size = _size_text(chunk)
    if size is None:
        return None
    system = ""
    if words[:1] and words[0] in ("bs", "bsf", "whitworth", "whit", "af", "a"):
        system = {"bs": "BS", "bsf": "BS", "whitworth": "Whitworth", "whit": "Whitworth", "af": "AF", "a": ""}[words[0]]
        words = words[1:]
    if words[:2] == ["across", "flats"] or words[:3] == ["across", "the", "flats"]:
        return f"{size} socket"
    for n, word in enumerate(words[:4]):
        one = singular(word)
        if one in ("spanner", "socket", "wrench", "head", "ring", "key", "hex", "bit"):
            if n and not set(words[:n]) <= _DRIVER_ADJECTIVES and one != "key":
                return None
            return _driver(size, system, one, words[:n], chunk)
    if chunk.low.endswith("mm") and system == "AF":
        return f"{size} socket"
    return None


_DRIVER_ADJECTIVES = frozenset(
    (
        "hex hexagon deep ring open ended box long short impact allen combination af socket the big little "
        "long-reach wobble flexi crowfoot tube slogging flogging and"
    ).split()
)


def _size_text(chunk: Chunk) -> str | None:
    if chunk.kind == "amount":
        if chunk.amount is None or chunk.amount.value is None or chunk.amount.unit not in ("mm", "in"):
            return None
        if chunk.amount.unit == "in":
            value = chunk.amount.value
            whole, rest = divmod(value, 1)
            return f"{whole} {rest} in" if whole and rest else f"{rest or whole} in"
        return f"{float(chunk.amount.value):g} mm"
    if chunk.value is not None:
        if chunk.value.denominator > 1:
            whole, rest = divmod(chunk.value, 1)
            return f"{whole} {rest} in" if whole else f"{rest} in"
        if 3 <= chunk.value <= 80:
            return f"{int(chunk.value)} mm"
    return None


def _driver(size: str, system: str, tool: str, between: Sequence[str], chunk: Chunk) -> str:
    if tool == "key" or (tool in ("hex", "bit") and not system):
        return f"{size} hex key"
    if "hex" in between and tool != "socket":
        return f"{size} hex key"
    if system in ("BS", "Whitworth"):
        return f"{size.removesuffix(' in').removesuffix(' mm')} {system} spanner"
    return f"{size} {'spanner' if tool in ('spanner', 'wrench', 'ring') else 'socket'}"


def _add_state(clause: Clause, subject: Bearer | None, groups: list[_Group], new: list[_Group], state: State) -> None:
    """Add what is said of how they sat or came: to the set, or as a group of their own."""
    said = _states(clause)
    heat = _heat(clause)
    if not said and heat is None:
        return
    target = _target(clause, subject, groups, new, state)
    if target is None:
        return
    target.state.extend(s for s in said if s not in target.state)
    if heat is not None:
        target.heat = heat
    target.end = max(target.end, clause.end)


def _states(clause: Clause) -> list[str]:
    out: list[str] = []
    came = any(c.low in _CAME for c in clause.chunks)
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind == "condition":
            condition = chunk.conditions[0]
            negative = any(c.cue == "negation.before" for c in clause.chunks[:at]) or chunk.is_negative
            if condition.term in STATES and not negative:
                out.append(STATES[condition.term])
            elif came and condition.polarity == "good" and not negative:
                out.append("free")
            elif condition.term in ("rusted solid",):
                out.append("seized")
    text = clause.low
    if any(
        w in text
        for w in (
            "wouldn't budge",
            "wouldn't shift",
            "wouldn't move",
            "won't budge",
            "won't shift",
            "wouldn't come",
            "not for shifting",
            "wouldn't undo",
            "refused to",
        )
    ):
        out.append("seized")
    if came and not out:
        if any(
            w in text
            for w in (
                "no bother",
                "easy",
                "nicely",
                "sweetly",
                "no trouble",
                "a treat",
                "without a fight",
                "no fuss",
                "like butter",
                "by hand",
                "no fight",
                "without a struggle",
                "no problem",
                "nice",
                "easily",
                "smoothly",
            )
        ):
            out.append("free")
        elif any(
            f" {w}" in f" {text}"
            for w in (
                "fought",
                "hard work",
                "a fight",
                "a struggle",
                "hell of a job",
                "screaming",
                "squealing",
                "swearing",
            )
        ):
            out.append("tight")
    if any(
        w in text
        for w in (
            "threadlock",
            "thread lock",
            "threadlocker",
            "locking compound",
            "lock compound",
            "glued in",
            "retaining compound",
            "studlock",
            "thread seal",
            "locked with",
        )
    ):
        if not any(w in text for w in ("no threadlock", "no thread lock", "needs threadlock", "wants threadlock")):
            out.append("threadlocked")
    if (
        any(
            w in text
            for w in (
                "fought me",
                "fought all the way",
                "tight as you like",
                "fought us",
                "bugger to shift",
                "sod to shift",
            )
        )
        and "tight" not in out
    ):
        out.append("tight")
    return out


def _heat(clause: Clause) -> bool | None:
    text = clause.low
    if any(w in text for w in _HEAT_NO):
        return False
    if any(w in text for w in _HEAT_YES):
        return True
    return None


def _target(
    clause: Clause, subject: Bearer | None, groups: list[_Group], new: list[_Group], state: State
) -> _Group | None:
    first = next((c for c in clause.chunks if c.is_part and c.pronoun not in ("i", "you", "we")), None)
    if first is not None and (sized := _sized_share(first, groups)) is not None:
        groups.append(sized)
        sized.start, sized.end = clause.start, clause.end
        return sized
    share = first is not None and (
        (first.count is not None and first.pronoun in ("they", "them", "these", "those"))
        or first.pronoun in ("number", "other", "one", "ones", "none")
        or (first.name is not None and first.is_unspecific and "rest" in first.low)
        or (
            first.name is not None
            and first.name.isalpha()
            and first.of is None
            and first.count == 1
            and first.pronoun is None
            and False
        )
    )
    if new:
        return new[-1]
    whole = groups[-1] if groups else None
    base = next((g for g in groups if not g.is_share), whole)
    if first is not None and share and (whole is not None or (subject and subject.fastener)):
        count = _share_count(first, base, groups, subject)
        if base is not None and count is not None and base.count == count and not base.state:
            return base
        group = _Group(
            component=base.component if base else subject.component if subject else None, form=base.form if base else subject.fastener if subject else None,
            thread=None, count=count, position=first.position, start=clause.start, end=clause.end, is_share=True,
        )  # fmt: skip
        if base is None and subject is not None and subject.component and subject.fastener:
            group.component = _strip_form(subject.component, subject.fastener)
        groups.append(group)
        return group
    if whole is not None and (
        first is None
        or first.pronoun in ("they", "it", "all", "both", "these", "that", "those", "them")
        or first.name is None
        or first.is_unspecific
    ):
        return whole
    if (
        first is not None
        and first.pronoun in ("they", "it", "all", "both", "that", "these", "those", "this")
        and subject is not None
        and subject.fastener
    ):
        group = _Group(
            component=_strip_form(subject.component, subject.fastener),
            form=subject.fastener,
            start=clause.start,
            end=clause.end,
            count=subject.count,
        )
        groups.append(group)
        return group
    return None


def _share_count(first: Chunk, base: _Group | None, groups: Sequence[_Group], subject: Bearer | None) -> int | None:
    if first.count is not None:
        return first.count
    if "rest" in first.low or (first.pronoun == "other" and first.is_plural and first.low in ("the others", "others")):
        if base is not None and base.count is not None:
            shared = sum(g.count or 0 for g in groups if g.is_share)
            return base.count - shared if base.count > shared else None
        return subject.count if subject else None
    if first.pronoun in ("one", "other") and not first.is_plural:
        return 1
    return subject.count if subject else None


def _strip_form(component: str | None, form: str) -> str | None:
    if component is None:
        return None
    last = form.split()[-1]
    if component.endswith(last) and component != form and len(component) > len(last):
        return component[: -len(last)].strip() or component
    return component


def _singular_name(text: str) -> str:
    words = text.split()
    return " ".join([*words[:-1], singular(words[-1])])


def _entry(group: _Group, state: State) -> Fastener:
    return Fastener(
        component=group.component, position=group.position, count=group.count, thread=group.thread, form=group.form, length=group.length,
        driver=group.driver, state=tuple(dict.fromkeys(group.state)), heat=group.heat,
        span=state.span(group.start, min(max(group.end, group.start + 1), len(state.tidied.pieces))), rule="fastener",
    )  # fmt: skip


_SIZES = {w: n for n, w in enumerate("zero one two three four five six seven eight nine ten eleven twelve".split())}


def _sized_share(first: Chunk, groups: Sequence[_Group]) -> _Group | None:
    """ "One of the sixes": a share of the set whose thread is M6."""
    size = _SIZES.get(first.name or "")
    if size is None or first.count is None:
        return None
    whole = next((g for g in groups if g.thread == f"M{size}"), None)
    return (
        _Group(component=whole.component, thread=whole.thread, form=whole.form, count=first.count, is_share=True)
        if whole
        else None
    )
