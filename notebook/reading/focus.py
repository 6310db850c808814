"""What is spoken of: a part in a position with how many of how many, and the group that is being counted.

In and out: used by the rules that say which part a clause is about.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearer:
    """A part in a position, with how many of how many."""

    component: str | None = None
    position: str | None = None
    count: int | None = None
    of: int | None = None
    is_negative: bool = False
    fastener: str | None = None
    doubt: str | None = None
    from_: str | None = None
    is_named: bool = False
    """Named in these words, not carried over."""
    is_place: bool = False
    is_many: bool = False
    """Said in the plural: "they" may mean it, "it" may not."""


@dataclass(slots=True)
class Focus:
    """What was just spoken of, and the group that is being counted."""

    bearer: Bearer | None = None
    group: str | None = None
    total: int | None = None
    counted: int = 0
    named: list[Bearer] = field(default_factory=list)
    """Parts named in this remark, latest last."""
    listed: list[Bearer] = field(default_factory=list)
    """Parts just named one after the other with nothing said of them yet: "gland seal, wiper and piston seal, all hard"."""
    whole: Bearer | None = None
    """The part that the sub-part in focus belongs to: the gear of "two teeth are chipped"."""
    is_about_machine: bool = False
    """True in a clause where "she" and "he" are the machine or its part ("she'll go again")."""

    def look_at(self, bearer: Bearer) -> None:
        """Make a part the one just spoken of."""
        if bearer.component is None:
            return
        if is_sub_part(bearer.component):
            if self.bearer is not None and not is_sub_part(self.bearer.component):
                self.whole = self.bearer
        else:
            self.whole = None
        self.bearer = replace(bearer, count=None, of=None, is_negative=False, is_named=False)
        if bearer.component != self.group:
            self.group, self.total, self.counted = bearer.component, None, 0
        whole = bearer.of or (bearer.count if bearer.of is None else None)
        if whole and whole > 1 and (self.total is None or bearer.of):
            self.total = whole
        self.named.append(bearer)

    def count_off(self, bearer: Bearer) -> None:
        """Note that so many of the group have been spoken of."""
        if bearer.component == self.group and bearer.count is not None and self.total is None and bearer.of is None:
            self.counted = max(self.counted, bearer.count)
        if bearer.component == self.group and bearer.count is not None and self.total and bearer.count < self.total:
            self.counted += bearer.count


def is_sub_part(component: str | None) -> bool:
    """Tell whether a name is that of a feature of some part ("lip", "tooth") and no part to be ordered."""
    return component is not None and component.split()[-1] in _SUB_PARTS


_SUB_PARTS = frozenset(
    "tooth teeth thread lip face hole spline edge rim groove land skirt crown stem head shank surface keyway corner slot flat tang tip journal seat bore link cog prong finger lug".split()
)
