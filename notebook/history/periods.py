"""Reads when a question is about: "last year", "in 2023", "between March and July 2024", "before 2025".

In: a question and what the time is now in the shop's zone. Out: the period, its words, and the question without them.
A date that does not exist is told and never put right silently.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from datetime import time as clock_time

_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december")  # fmt: skip
_MONTH = (
    r"(?:"
    + "|".join(rf"{name}|{name[:3]}\b\.?" + (r"|sept\b\.?" if name[:3] == "sep" else "") for name in _MONTHS)
    + ")"
)
_YEAR = r"(?:19|20)\d\d(?!\d|\s*(?:(?:and|to|or|-|–)\s*\d[\d,.]*\s*)?(?:h|hours?|hrs?|rpm|revs|mm|km|miles?|n)\b)"
_DAY = r"\d{1,2}(?:st|nd|rd|th)?"
_ONE = rf"(?:\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}[/.]\d{{1,2}}[/.]\d{{4}}|{_DAY}(?: of)? {_MONTH},? {_YEAR}|{_MONTH} {_DAY},? {_YEAR}|{_MONTH},? {_YEAR}|{_YEAR}|(?:last |this )?{_MONTH}(?! \d)|today|yesterday)"  # fmt: skip
_COUNT = {"couple of": 2, "few": 3, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "ten": 10, "twelve": 12}
_SPAN = r"(?P<many>\d{1,3}|couple of|few|two|three|four|five|six|ten|twelve)? ?(?P<unit>day|week|month|year)s?"
_FORMS = (
    ("in", re.compile(rf"(?<!since )(?<!before )(?<!after )(?<!and )(?<!between )(?<!from )(?<!to )(?<!until )\b(?:on |on the |in |of )?(?P<a>{_DAY}(?: of)? {_MONTH},? {_YEAR})(?! to)(?! and)", re.I)),
    ("between", re.compile(rf"\b(?:between|from) (?P<a>{_ONE}) (?:and|to|until|till|up to) (?P<b>{_ONE})", re.I)),
    ("between", re.compile(rf"\b(?P<a>{_YEAR}|{_MONTH},? {_YEAR}) (?:to|-|–) (?P<b>{_YEAR}|{_MONTH},? {_YEAR})", re.I)),
    ("since", re.compile(rf"\b(?:from )?(?:since|on or after|as of) (?P<a>{_ONE})", re.I)),
    ("since", re.compile(rf"\bfrom (?P<a>{_ONE}) (?:on|onwards?|forward)\b", re.I)),
    ("after", re.compile(rf"\b(?:from )?(?:after|later than) (?P<a>{_ONE})", re.I)),
    ("before", re.compile(rf"\b(?:from )?(?:before|earlier than|prior to|until|till|up to|by) (?P<a>{_ONE})", re.I)),
    ("span", re.compile(rf"\b(?:in |over |during |within |for )?(?:the |these )?(?:last|past|previous) {_SPAN}\b(?! to)", re.I)),
    ("ago", re.compile(rf"\b{_SPAN} (?:ago|back)\b", re.I)),
    ("this", re.compile(r"\b(?:in |during )?this (?P<unit>week|month|year)\b", re.I)),
    ("in", re.compile(rf"\b(?:in|during|on|of|from|for|through|throughout|back in)(?: the year)? (?P<a>{_ONE})", re.I)),
    ("in", re.compile(rf"(?<![\w/.-])(?P<a>{_YEAR}|{_MONTH},? {_YEAR}|{_DAY}(?: of)? {_MONTH},? {_YEAR}|last {_MONTH}|\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}[/.]\d{{1,2}}[/.]\d{{4}}|today|yesterday)(?![\w/-])", re.I)),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """When a question is about."""

    since: datetime | None = None
    until: datetime | None = None
    """The first moment after."""
    said: str = ""
    wrong: str | None = None
    """Why there is no such time; None where there is."""

    def in_words(self) -> str:
        """Say it with its dates."""
        last = (self.until - timedelta(days=1)).date().isoformat() if self.until else None
        first = self.since.date().isoformat() if self.since else None
        if first and last:
            return f"on {first}" if first == last else f"{first} to {last}"
        return f"from {first} on" if first else f"up to {last}"


def read_period(text: str, now: datetime, zone: tzinfo) -> tuple[Period | None, str]:
    """Give the period of a question, or None, and the question without its words."""
    today = now.astimezone(zone).date()
    for form, pattern in _FORMS:
        for found in pattern.finditer(text):
            if form == "in" and _is_no_time(found):
                continue
            period = _period(form, found, today, zone)
            if period is not None:
                return period, f"{text[: found.start()]} {text[found.end() :]}"
    return None, text


def _is_no_time(found: re.Match[str]) -> bool:
    """A bare "may" or "march" is a verb, and a four-figure number before a unit a size."""
    said = found["a"].lower()
    return said in ("may", "march", "mar") and not re.match(r"(?:in|during|of|back in|throughout)\b", found[0], re.I)


def _period(form: str, found: re.Match[str], today: date, zone: tzinfo) -> Period | None:
    said = " ".join(found[0].split())
    try:
        bounds = _bounds(form, found, today)
    except _NoSuchDateError as error:
        return Period(said=said, wrong=str(error))
    if bounds is None:
        return None
    first, last = bounds
    if first and last and first > last:
        return Period(said=said, wrong=f"{said} ends before it begins")
    return Period(
        since=datetime.combine(first, clock_time(0), zone) if first else None,
        until=datetime.combine(last + timedelta(days=1), clock_time(0), zone) if last else None,
        said=said,
    )


def _bounds(form: str, found: re.Match[str], today: date) -> tuple[date | None, date | None] | None:
    """Give the first and the last day."""
    if form == "between":
        first, last = found["a"], found["b"]
        if re.fullmatch(rf"{_MONTH}", first, re.I) and (year := re.search(_YEAR, last)):
            first = f"{first} {year[0]}"
        return _days(first, today)[0], _days(last, today)[1]
    if form in ("span", "ago", "this"):
        return _span(form, found, today)
    first, last = _days(found["a"], today)
    return {
        "since": (first, None),
        "after": (last + timedelta(days=1), None),
        "before": (None, first - timedelta(days=1)),
        "in": (first, last),
    }[form]


def _span(form: str, found: re.Match[str], today: date) -> tuple[date | None, date | None] | None:
    unit = found["unit"].lower()
    said = (found["many"] or "").strip().lower() if form != "this" else ""
    many = int(said) if said.isdigit() else _COUNT.get(said, 1)
    if form == "ago":
        if not said and not re.search(r"\ba (?:day|week|month|year)", found.string, re.I):
            return None
        at = _back(today, unit, many)
        return _calendar(at, unit)
    if form == "this":
        return _calendar(today, unit)[0], today
    if said:
        return _back(today, unit, many), today
    return _calendar(_back(today, unit, 1), unit)


def _back(day: date, unit: str, many: int) -> date:
    if unit in ("day", "week"):
        return day - timedelta(days=many * (7 if unit == "week" else 1))
    months = day.year * 12 + day.month - 1 - many * (12 if unit == "year" else 1)
    year, month = divmod(months, 12)
    if year < 1:
        raise _NoSuchDateError(f"{many} {unit}s back is before there were dates")
    return date(year, month + 1, min(day.day, _last_day(year, month + 1).day))


def _calendar(day: date, unit: str) -> tuple[date, date]:
    """Give the calendar day, week, month or year that a day lies in."""
    if unit == "day":
        return day, day
    if unit == "week":
        monday = day - timedelta(days=day.weekday())
        return monday, monday + timedelta(days=6)
    if unit == "month":
        return day.replace(day=1), _last_day(day.year, day.month)
    return date(day.year, 1, 1), date(day.year, 12, 31)


def _last_day(year: int, month: int) -> date:
    return (date(year + (month == 12), month % 12 + 1, 1)) - timedelta(days=1)


def _days(said: str, today: date) -> tuple[date, date]:
    """Give the first and last day of a day, a month or a year as said; a month alone is the latest one begun."""
    low = said.lower().replace(",", "")
    if low in ("today", "yesterday"):
        day = today - timedelta(days=low == "yesterday")
        return day, day
    if found := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", low):
        return _day(int(found[1]), int(found[2]), int(found[3]), said)
    if found := re.fullmatch(r"(\d{1,2})[/.](\d{1,2})[/.](\d{4})", low):
        return _day(int(found[3]), int(found[2]), int(found[1]), said)
    if re.fullmatch(r"\d{4}", low):
        return date(int(low), 1, 1), date(int(low), 12, 31)
    named = re.search(_MONTH, low)
    month = _month_of(named[0]) if named else 1
    year = re.search(r"\b\d{4}\b", low)
    of_month = re.search(r"\b(\d{1,2})(?:st|nd|rd|th)?\b(?!\d)", low)
    if year is None:
        first = date(today.year, month, 1)
        if first > today or (low.startswith("last ") and (first.year, first.month) == (today.year, today.month)):
            first = date(today.year - 1, month, 1)
        return first, _last_day(first.year, month)
    if of_month:
        return _day(int(year[0]), month, int(of_month[1]), said)
    return date(int(year[0]), month, 1), _last_day(int(year[0]), month)


def _day(year: int, month: int, day: int, said: str) -> tuple[date, date]:
    try:
        return date(year, month, day), date(year, month, day)
    except ValueError as error:
        raise _NoSuchDateError(f"there is no {said}") from error


def _month_of(named: str) -> int:
    return next(n for n, name in enumerate(_MONTHS, 1) if name.startswith(named.strip(".")[:3]))


class _NoSuchDateError(Exception):
    """A date was said that no calendar has."""
