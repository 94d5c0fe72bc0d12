"""Dates and spans of time in words, in a language and an era style."""

from slidekit.evidence.dates.words import DateWords, Manner
from slidekit.evidence.dates.years import (
    Date,
    Day,
    Years,
    counted_year,
    days_in,
    decade_span,
    nth_span,
)

_ERA_UNTIL = 1000  # days and months of later years are said without their era


def say_date(date: Date, manner: Manner) -> str:
    """The date in words: "c. 950 BCE", "AD 79", "13th century BCE?", "between 40 BC and AD 10"."""
    if date.percent:
        first, last = _ends_of(date)
        return manner.words.calibrated.format(
            _span(first, last, manner), _percent(date, manner.words)
        )
    return _said(date, manner)


def label_date(date: Date, manner: Manner) -> str:
    """The date for a label: as it is said, but "cal 956–831 BCE (95.4 %)"."""
    if date.percent:
        said = label_span(*_ends_of(date), manner)
        return manner.words.calibrated_short.format(said, _percent(date, manner.words))
    return _said(date, manner)


def say_span(start: Date, end: Date, manner: Manner) -> str:
    """The time from `start` to `end` in words: "1300 to 800 BCE", "30 BCE to c. 30 CE"."""
    return _half_known(start, end, manner) or _span(start, end, manner)


def label_span(start: Date, end: Date, manner: Manner) -> str:
    """The time from `start` to `end` for a label: "1300–800 BCE", "30 BCE – c. 30 CE"."""
    if said := _half_known(start, end, manner):
        return said
    first, last, short = _ends(start, end, manner)
    return f"{first}–{last}" if short else f"{first} – {last}"


def say_between(earliest: Date, latest: Date, manner: Manner) -> str:
    """When something was that is known within two dates: "between 1055 and c. 850 BCE"."""
    return _between(*_ends(earliest, latest, manner)[:2], manner)


def grouped(number: int, words: DateWords) -> str:
    """Digits in groups of three, from five digits on."""
    return f"{number:,}".replace(",", words.thousands) if number > 9999 else str(number)


def _percent(date: Date, words: DateWords) -> str:
    return f"{date.percent.replace('.', words.decimal)}\N{NO-BREAK SPACE}%"


def _ends_of(date: Date) -> tuple[Date, Date]:
    return Date(date.earliest, date.earliest), Date(date.latest, date.latest)


def _half_known(start: Date, end: Date, manner: Manner) -> str:
    """A span of which one end is open or not known; "" for any other."""
    words = manner.words
    if start.earliest is start.latest is None:
        pattern = words.until if start.lasting else words.unknown_start
        return pattern.format(label_date(end, manner))
    if end.earliest is end.latest is None:
        pattern = words.since if end.lasting else words.unknown_end
        return pattern.format(label_date(start, manner))
    return ""


def _span(start: Date, end: Date, manner: Manner) -> str:
    first, last, _ = _ends(start, end, manner)
    return manner.words.span.format(first, last)


def _ends(start: Date, end: Date, manner: Manner) -> tuple[str, str, bool]:
    """Both ends, with the era once where that is clear, and whether both are bare numbers."""
    first, last = label_date(start, manner), label_date(end, manner)
    if not (start.is_year and end.is_year):
        return first, last, False
    (number, before), (other, other_before) = _counted(start), _counted(end)
    leads = not manner.words.eras[manner.era][not before].startswith("{}")
    if before != other_before or (start.uncertain and not leads):
        return first, last, False
    if leads:
        last = _qualified(end, grouped(other, manner.words), manner)
    else:
        first = _qualified(start, grouped(number, manner.words), manner)
    return first, last, not (start.approximate or end.approximate or start.uncertain)


def _counted(date: Date) -> tuple[int, bool]:
    return counted_year(date.earliest or 0)


def _said(date: Date, manner: Manner) -> str:
    if date.choices:
        return _said_set(date, manner)
    if date.earliest is None or date.latest is None:
        return _open_ended(date, manner)
    if date.first_day or date.last_day:
        return _qualified(date, _say_days(date, manner), manner)
    years = Years(date.earliest, date.latest)
    roughly = _name_of(years, manner, roughly=True) if date.approximate else None
    if roughly:
        return f"{roughly}?" if date.uncertain else roughly
    if date.is_year:
        number, before = counted_year(years.first)
        said = _with_era(grouped(number, manner.words), before, manner)
    else:
        said = _name_of(years, manner) or _between(*_ends(*_ends_of(date), manner)[:2], manner)
    return _qualified(date, said, manner)


def _between(first: str, last: str, manner: Manner) -> str:
    return manner.words.between.format(first, last)


def _said_set(date: Date, manner: Manner) -> str:
    words = manner.words
    said = [_said(one, manner) for one in date.choices]
    return (words.both if date.every else words.either).format(", ".join(said[:-1]), said[-1])


def _open_ended(date: Date, manner: Manner) -> str:
    words = manner.words
    is_before = date.earliest is None
    year, day = (date.latest, date.last_day) if is_before else (date.earliest, date.first_day)
    if year is None:
        raise ValueError("a date of which nothing is known cannot be said")
    edge = _say_day(day, manner) if day else _said(Date(year, year), manner)
    said = (words.the_day if day else "{}").format(edge)
    if date.approximate:
        said = words.about_words.format(said)
    said = (words.before if is_before else words.after).format(said)
    return f"{said}?" if date.uncertain else said


def _qualified(date: Date, said: str, manner: Manner) -> str:
    words = manner.words
    if date.approximate:
        about = words.about if date.is_year else words.about_words
        if said.startswith(words.between.partition("{}")[0]):
            about = words.about_between
        said = about.format(said)
    return f"{said}?" if date.uncertain else said


def _with_era(said: str, before: bool, manner: Manner, *, long: bool = False) -> str:
    eras = manner.words.long_eras if long else manner.words.eras
    return eras[manner.era][not before].format(said)


def _name_of(years: Years, manner: Manner, *, roughly: bool = False) -> str | None:
    """What a decade, a century, a millennium or a part of one is called; None for other years.

    `roughly`: the thirds that are called early, mid and late.
    """
    words = manner.words
    (first, before), (last, _) = counted_year(years.first), counted_year(years.last)
    low = min(first, last)
    if not roughly and low % 10 == 0 and low % 100 and decade_span(low, before=before) == years:
        return _with_era(words.decade.format(low), before, manner)
    for length, name, of in (
        (100, words.century, words.century_of),
        (1000, words.millennium, words.millennium_of),
    ):
        number = (max(first, last) - 1) // length + 1
        whole = nth_span(number, length, before=before)
        said = ""
        if years == whole and not roughly:
            said = name(number)
        for count, patterns in words.shares.items():
            if years in whole.parts(count) and (count == 3 or not roughly):
                at = whole.parts(count).index(years)
                pattern = words.roughly[at] if roughly else patterns[at]
                said = pattern.format(name=name(number), of=of(number))
        if said:
            return _with_era(said, before, manner, long=True)
    return None


def _say_days(date: Date, manner: Manner) -> str:
    words = manner.words
    first, last = date.first_day, date.last_day
    if first is None or last is None:  # the other end is known to the year only
        ends = (_edge(first, date.earliest, manner), _edge(last, date.latest, manner))
        return words.between.format(*ends)
    if date.season:
        season = date.season if date.season in words.seasons else 21 + (date.season - 21) % 4
        return words.seasons[season].format(_year_of_days(first.year, manner))
    if first == last:
        return _say_day(first, manner)
    is_month = first[:2] == last[:2] and last.day == days_in(last.year, last.month)
    if is_month and first.day == 1:
        return f"{words.months[first.month - 1]} {_year_of_days(first.year, manner)}"
    return words.between.format(*(_edge(day, None, manner) for day in (first, last)))


def _edge(day: Day | None, year: int | None, manner: Manner) -> str:
    if day is None:
        return _year_of_days(year or 0, manner)
    return manner.words.the_day.format(_say_day(day, manner))


def _say_day(day: Day, manner: Manner) -> str:
    words = manner.words
    number = words.first if day.day == 1 else str(day.day)
    month, year = words.months[day.month - 1], _year_of_days(day.year, manner)
    return words.day.format(day=number, month=month, year=year)


def _year_of_days(year: int, manner: Manner) -> str:
    number, before = counted_year(year)
    said = grouped(number, manner.words)
    return said if not before and number >= _ERA_UNTIL else _with_era(said, before, manner)
