"""What is lacking, what is to be done, what to order, and the way back, from what was said."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

from notebook.entries import Disposition, Entry, Fastener, Finding, Measurement, Step, Storage
from notebook.log.facts import gather_facts, group_by_assembly
from notebook.log.gaps import Gap, find_gaps
from notebook.log.labour import estimate_labour
from notebook.log.order_list import list_orders
from notebook.log.rebuild import plan_rebuild
from notebook.log.standing import find_proposals, undecided
from notebook.nouns import Decision, Log

from ..conftest import MORNING
from ..documents.logs import make_log, make_photo
from ..documents.paper_job import make_paper_log


def gaps_of(*said: tuple[Entry, ...]) -> list[tuple[str, str, str]]:
    log = make_log(*((f"remark {n}", entries) for n, entries in enumerate(said, 1)))
    return [(g.kind, g.about, g.words) for g in gaps(log)]


def gaps(log: Log) -> tuple[Gap, ...]:
    return find_gaps(log, gather_facts(log))


def test_four_springs_three_accounted_for() -> None:
    broken, sound = Finding(component="spring", condition="broken", count=1, of=4), Finding(component="spring", condition="sound", count=2, of=4)  # fmt: skip
    assert ("count", "spring", "4 there, 3 accounted for") in gaps_of((broken, sound))
    whole = Finding(component="spring", condition="sound", count=3, of=4)
    assert not [g for g in gaps_of((broken, whole)) if g[0] == "count"]


def test_one_that_is_both_cracked_and_worn_is_counted_once_where_that_adds_up() -> None:
    said = [
        Finding(component="shoe", condition=c, count=n, of=6) for c, n in (("cracked", 2), ("worn", 2), ("sound", 4))
    ]
    assert not [g for g in gaps_of(tuple(said)) if g[0] == "count"]


def test_the_rest_leaves_nobody_out() -> None:
    said = (Finding(component="shoe", condition="cracked", count=2, of=6), Finding(component="shoe", condition="sound"))
    assert not [g for g in gaps_of(said) if g[0] == "count"]


def test_more_to_replace_than_there_are() -> None:
    said = (Finding(component="shoe", condition="cracked", count=2, of=2), Disposition(component="shoe", action="replace", count=4))  # fmt: skip
    assert ("count", "shoe", "2 there, 4 to replace") in gaps_of(said)


def test_what_is_off_wants_a_state_and_what_is_bad_a_decision_and_a_picture() -> None:
    found = gaps_of((Step(component="drum", action="removed"),), (Finding(component="hub", condition="cracked"),))
    assert [(k, a) for k, a, _ in found] == [("condition", "drum"), ("decision", "hub"), ("picture", "hub")]


def test_a_finding_in_the_same_breath_is_the_state() -> None:
    assert "condition" not in {g[0] for g in gaps_of((Step(component="pawl", action="removed"), Finding(component="tip", condition="chipped")))}  # fmt: skip


def test_a_struck_finding_leaves_no_gap_behind() -> None:
    assert not gaps_of((Finding(component="hub", condition="cracked", struck=True),))


def test_fasteners_want_a_size_and_a_place() -> None:
    bolts = Fastener(component="gear guard", count=6, form="hexagon bolt")
    assert [g[0] for g in gaps_of((bolts,))] == ["size", "place"]
    stored = Storage(place="bag 1", contents=("guard bolts",))
    assert [g[0] for g in gaps_of((bolts,), (stored,))] == ["size"]
    other = Storage(place="bag 2", contents=("sump bolts",))
    assert [g[0] for g in gaps_of((bolts,), (other,))] == ["size", "place"]
    circlip = Fastener(component="shaft", count=1, form="circlip")
    assert [g[0] for g in gaps_of((circlip,), (Storage(place="tray", contents=("circlip",)),))] == []


def test_a_loose_photo_a_doubt_and_an_unread_caution_are_gaps() -> None:
    log = make_log(("a", (Finding(condition="sound", doubt="which part?"),)), photos=(make_photo("a.jpg"),))
    found = find_gaps(log, gather_facts(log), ["Mind the spring."])
    assert {g.kind for g in found} == {"doubt", "photo", "caution"}


def test_a_measurement_without_a_limit() -> None:
    size = Measurement(component="bush", quantity="diameter", value=Decimal("30.4"), unit="mm")
    assert ("limit", "bush", "diameter measured, and no limit known") in gaps_of((size,))


def test_how_pressing_it_is() -> None:
    log = make_log(
        ("a", (Finding(component="hook", condition="broken"), Disposition(component="hook", action="replace"))),
        ("b", (Finding(component="cover", condition="scratched"), Disposition(component="cover", action="rework"))),
        ("c", (Disposition(component="filter", action="clean"),)), ("d", (Finding(component="bush", condition="worn"),)),
    )  # fmt: skip
    parts = gather_facts(log)
    assert [(p.facts.name, p.pressing) for p in find_proposals(parts)] == [("hook", "must"), ("cover", "should"), ("filter", "may")]  # fmt: skip
    assert [p.name for p in undecided(parts)] == ["bush"]


def test_past_a_limit_is_a_must() -> None:
    log = make_log(
        ("a", (Measurement(component="lining", quantity="thickness", value=Decimal(1), unit="mm"), Measurement(component="lining", quantity="thickness", value=Decimal(2), unit="mm", role="limit"),
               Disposition(component="lining", action="replace"))),
    )  # fmt: skip
    assert [p.pressing for p in find_proposals(gather_facts(log))] == ["must"]


def decided(log: Log, component: str, state: str) -> Log:
    from dataclasses import replace

    made = Decision(
        id="d", entry_id=None, component=component, position=None, action="replace", state=state, person="owner", made=MORNING  # type: ignore[arg-type]
    )  # fmt: skip
    return replace(log, decisions=(made,))


def test_the_owners_word_counts(tmp_path: Path) -> None:
    log = decided(make_paper_log(tmp_path, pictures=0), "brake lining", "approved")
    parts = gather_facts(log)
    lines = list_orders(log, parts, find_proposals(parts))
    assert [(x.component, x.quantity, x.state) for x in lines if x.sort == "part"] == [("brake lining", 2, "approved")]
    assert {x.component for x in lines if x.sort == "consumable"} == {"oil seal", "circlip", "threadlocker"}


def test_the_way_back_is_the_way_turned_round(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path, pictures=0)
    plan = plan_rebuild(log, gather_facts(log))
    steps = [s for g in plan.groups for s in g.steps]
    assert [s.facts.name for s in steps] == ["oil seal", "drum shaft", "drum", "guard"]
    guard = steps[-1]
    assert guard.fastener_places == (("bag 1",),)
    assert [t.entry.text for t in steps[2].tips] == ["warm the drum and it drops"]
    assert [p.facts.name for p in plan.thrown_away] == ["brake lining"]
    assert {s.facts.name for s in plan.unordered} == {"brake lining"}


def test_nothing_said_of_a_rebuild_is_lost(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path, pictures=0)
    plan = plan_rebuild(log, gather_facts(log))
    shown = [s for g in plan.groups for s in g.steps] + list(plan.unordered)
    for loose, at in ((plan.loose_cautions, "cautions"), (plan.loose_tips, "tips"), (plan.loose_marks, "marks"), (plan.loose_fasteners, "fasteners")):  # fmt: skip
        kind = {"cautions": "caution", "tips": "tip", "marks": "mark", "fasteners": "fastener"}[at]
        told = {x.entry.id for x in loose} | {x.entry.id for s in shown for x in getattr(s, at)}
        assert told == {e.id for r in log.remarks for e in r.entries if e.kind == kind}


def test_parts_stand_with_the_assembly_they_came_off() -> None:
    log = make_log(("a", (Step(component="drum", action="removed"),)), ("b", (Step(component="clip", action="removed", off="drum"),)), ("c", (Step(component="drum shaft", action="removed"),)))  # fmt: skip
    assert [(a.name, [p.name for p in a.parts]) for a in group_by_assembly(gather_facts(log))] == [("drum", ["drum", "clip", "drum shaft"])]  # fmt: skip


def test_hours_are_the_time_between_remarks_without_breaks() -> None:
    from dataclasses import replace

    log = make_log(("a", (Step(component="drum", action="removed"),)), ("b", (Finding(component="drum", condition="worn"),)), ("c", (Step(component="hub", action="removed"),)), ("d", (Finding(component="hub", condition="sound"),)))  # fmt: skip
    minutes = (0, 10, 25, 25 + 90)
    remarks = tuple(replace(r, at=MORNING + timedelta(minutes=m)) for r, m in zip(log.remarks, minutes, strict=True))
    log = replace(log, remarks=remarks)
    rows = estimate_labour(log, group_by_assembly(gather_facts(log)))
    assert {r.assembly: r.spent for r in rows} == {"drum": timedelta(minutes=10), "hub": timedelta(minutes=15)}
