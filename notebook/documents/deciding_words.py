"""Says decisions in words, for the log, the list of what is decided and paper.

In: decisions, proposals. Out: short plain sentences. Never chooses between two people.
"""

from __future__ import annotations

from notebook.documents.paper import day_words, list_words
from notebook.errors import one_line
from notebook.log.deciding import AS_ADVISED
from notebook.log.standing import Proposal
from notebook.nouns import Decision

STATES = {
    "found": "found", "advised": "advised", "approved": "approved", "declined": "declined", "asked": "asked",
    "differ": "decided differently", "done": "done",
}  # fmt: skip
OWNER = "owner"
NOT_DONE = (
    "Declined, and it matters for safety: as it was found it can hurt somebody. The maker's manual, "
    "local rules and licensed practice say whether the machine may run like this."
)


def decided_part(decision: Decision) -> str:
    """Name what a decision is about: "bearing (outer)"."""
    name = decision.component or "part not named"
    return one_line(f"{name} ({decision.position})" if decision.position else name)


def decision_words(decision: Decision) -> str:
    """Say a decision: "approved by the owner, 4 March 2026, noted by Maren"."""
    action = "" if decision.action == AS_ADVISED else f", {decision.action}"
    return one_line(f"{said_by(decision)}{action}{', which settles it' if decision.settles else ''}")


def said_by(decision: Decision) -> str:
    """Say how, by whom, when, and who noted it: "approved by the owner, 4 March 2026, noted by Maren"."""
    person = "the owner" if decision.person == OWNER else decision.person
    noted = f", noted by {decision.noted_by}" if decision.noted_by and decision.noted_by != decision.person else ""
    by = f" by {person}" if person else ""
    return one_line(f"{STATES[decision.state]}{by}, {day_words(decision.made)}{noted}")


def state_words(proposal: Proposal) -> str:
    """Say how far a proposal is, by whom and when; where two people differ, both."""
    if proposal.differ:
        return f"{STATES['differ']}: {list_words([said_by(d) for d in proposal.differ])}; one of them has to stand"
    decision = proposal.decision
    if decision is None:
        by = (
            f" by {list_words(list(proposal.advised_by))}"
            if proposal.advised_by and proposal.state == "advised"
            else ""
        )
        return one_line(STATES[proposal.state] + by)
    return one_line(said_by(decision) + _quoted(decision))


def _quoted(decision: Decision) -> str:
    return f': "{decision.note}"' if decision.note else ""
