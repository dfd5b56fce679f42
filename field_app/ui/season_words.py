"""What the screens say of a tree's season, in words and as what is drawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from field_app.core.ripeness import Forecast, Seen
from field_app.core.standing import standing, standing_words
from field_app.core.units import show_range
from field_app.core.visits import READY, WORTH_KG, lasting_due
from field_app.store import Timing
from field_app.ui.day_words import day, span
from field_app.ui.parts import Mark, Span, Strip
from field_app.words import mid, tr, tr_n

__all__ = ["due_today", "good_words", "ground_words", "hundredths", "look_sentence", "range_of_days", "ready_words",
           "said_of", "season_sentence", "season_title", "span_of", "strip_of", "visits_words", "why_words"]

_NOT_YET = ("green", "yellowing", "not-yet")


def hundredths(share: float) -> str:
    """A share in words, never quite certain.

    >>> hundredths(0.998), hundredths(0.123), hundredths(0.0)
    ('over 95 %', '12 %', 'under 1 %')
    """
    if share >= 0.95:
        return tr("over 95 %")
    return tr("under 1 %") if share < 0.01 else f"{share * 100:.0f} %"


def span_of(told: Forecast) -> Span:
    """The range of its date."""
    return Span(told.p10, told.p50, told.p90)


def ready_words(told: Forecast, today: dt.date) -> str:
    """When it is ready, in a few words."""
    return standing_words(told, today, lambda date: day(date, today))


def season_sentence(known: Sequence[Timing], today: dt.date) -> str:
    """How a place stands, by what is most ready there; with its name if several things stand there; or empty."""
    if not known:
        return ""
    words = ready_words(known[0].forecast, today)
    return words if len(known) == 1 else tr("{stuff}: {standing}", stuff=known[0].stuff.name, standing=mid(words))


def good_words(told: Forecast, today: dt.date) -> str:
    """Until when it is good, or since when it is past that, in a sentence's half."""
    end = day(told.sound_until, today)
    if today > told.sound_until:
        return tr("half of it has turned since about {day}", day=end)
    return tr("good until about {day}", day=end)


def range_of_days(told: Forecast, today: dt.date) -> str:
    """The range of its date, in words."""
    return f"{day(told.p50, today)} ({span(told.p10, told.p90, today)})"


def visits_words(one: Timing) -> str:
    """The visits worth going for, each with what it saves, or empty."""
    return ", ".join(tr("{day} saves {share}", day=day(visit.date, one.today), share=hundredths(visit.saves))
                     for visit in one.visits)


def why_words(one: Timing) -> str:
    """Why one should go or wait, in one or two sentences."""
    told, today = one.forecast, one.today
    last = max((seen for seen in told.seen), key=lambda seen: seen.day, default=None)
    sentences = [f"{_seen_words(last, today)}." if last is not None else f"{ready_words(told, today)}."]
    here = one.ground(today)
    if here is not None and here.kg.central > 0 and here.lost_by_next_day >= 0.01:
        sentences.append(tr("Waiting a day loses {share} of its dye.",
                            share=hundredths(here.lost_by_next_day)))
    return " ".join(sentences)


def look_sentence(one: Timing) -> str:
    """What the last look of this season found, as a sentence, or empty."""
    last = max((seen for seen in one.forecast.seen if seen.kg is None), key=lambda seen: seen.day, default=None)
    return "" if last is None else f"{_seen_words(last, one.today)}."


def _seen_words(one: Seen, today: dt.date) -> str:
    when = day(one.day, today)
    if one.pressed:
        return tr("{dented} of {pressed} took a dent {day}", dented=one.dented, pressed=one.pressed, day=when)
    if one.kg is not None:
        return tr("Gathered {day}", day=when)
    if one.stage in _NOT_YET:
        return tr("Not ready yet {day}", day=when)
    return tr("Over {day}", day=when) if one.stage == "over" else tr("Ready {day}", day=when)


def due_today(known: Sequence[Timing]) -> tuple[Timing, ...]:
    """The trees that are worth the way today, where there is leave: what loses most by waiting first.

    What falls: ready, with a kilogram at least on the ground. What lasts: just begun, or soon at its end.
    """
    found = []
    for one in known:
        told, today = one.forecast, one.today
        if one.site.leave_on(today) != "given" or told.ready_today < READY:
            continue
        if one.curve is not None:
            here = one.ground(today)
            if here is not None and here.kg.central >= WORTH_KG:
                found.append((-here.worth.central * here.lost_by_next_day, one))
        elif lasting_due(told.p50, told.sound_until, today):
            found.append((0.0, one))
    return tuple(one for _, one in sorted(found, key=lambda pair: (pair[0], pair[1].site.name)))


def season_title(known: Sequence[Timing]) -> str:
    """How many are ready where one may gather or can still ask, how many are past that, or which will be first."""
    def trees(*wanted: str) -> int:
        return len({one.site.id for one in known if standing(one.forecast, one.today) in wanted
                    and one.site.leave_on(one.today) != "refused"})

    ready, late = trees("ready"), trees("late")
    if ready and late:
        return tr("{ready}, {late} past their best", ready=tr_n("1 tree is ready", "{n} trees are ready", ready),
                  late=late)
    if ready:
        return tr_n("1 tree is ready", "{n} trees are ready", ready)
    if late:
        return tr_n("1 tree is past its best", "{n} trees are past their best", late)
    coming = sorted((one for one in known if one.forecast.p50 > one.today), key=lambda one: one.forecast.p50)
    if not coming:
        return tr("Nothing has a season yet")
    return tr("Next: {name}, around {day}", name=coming[0].site.name,
              day=day(coming[0].forecast.p50, coming[0].today))


def _mark_of(one: Seen) -> Mark:
    if one.pressed:
        return Mark(one.day, "half")
    return Mark(one.day, "ring" if one.stage in _NOT_YET else "dot")


def strip_of(one: Timing) -> Strip:
    """The season of one tree as it is drawn: its kind, its own years, this year's looks, the forecast with visits."""
    told, today = one.forecast, one.today
    season = told.season
    prior = Span(*(season.date_of(told.prior.quantile(share)) for share in (0.1, 0.5, 0.9)))
    own = [season.date_of(observed.day) for _, observed in told.years]
    seen = sorted(told.seen, key=lambda seen: seen.day)
    first = min([prior.low, told.p10, *own, *(one.day for one in seen)]) - dt.timedelta(days=6)
    last = max([prior.high, told.p90, *own, *(visit.date for visit in one.visits)]) + dt.timedelta(days=16)
    rows: list[tuple[str, tuple[Span, ...], tuple[Mark, ...]]] = [(tr("trees of its kind"), (prior,), ())]
    if own:
        years = [year + season.south for year, _ in told.years]
        label = f"{years[0]}" if len(years) == 1 else f"{years[0]}–{years[-1]}"
        rows.append((tr("its own years, {years}", years=label), (), tuple(Mark(at, "dot") for at in own)))
    if seen:
        rows.append((tr("seen this year, last: {seen}", seen=_short(seen[-1])), (),
                     tuple(_mark_of(look) for look in seen)))
    rows.append((tr("this year"), (span_of(told),), ()))
    if one.visits:
        rows.append((tr("when to go"), (), tuple(Mark(visit.date, "square", str(number))
                                             for number, visit in enumerate(one.visits, 1))))
    return Strip(first, last, today, tuple(rows), said_of(one))


def _short(one: Seen) -> str:
    if one.pressed:
        return tr("{dented} of {pressed} dented", dented=one.dented, pressed=one.pressed)
    return tr("not yet") if one.stage in _NOT_YET else tr("over") if one.stage == "over" else tr("ready")


def said_of(one: Timing) -> str:
    """The same strip for somebody who hears it."""
    told, today = one.forecast, one.today
    words = [f"{one.site.name}, {mid(tr(one.stuff.name))}. {ready_words(told, today)}.",
             tr("Most likely {days}.", days=range_of_days(told, today)),
             *([tr("Ready today: {share}.", share=hundredths(told.ready_today))]
               if today <= told.sound_until else [])]
    if told.years:
        dates = ((year, told.season.date_of(observed.day)) for year, observed in told.years)
        words.append(tr("In earlier years: {days}.", days=", ".join(
            f"{span(at, at, today)} {year + told.season.south}" for year, at in dates)))
    words += [f"{_seen_words(seen, today)}." for seen in sorted(told.seen, key=lambda seen: seen.day)]
    if one.visits:
        words.append(tr("Visits: {days}.", days=visits_words(one)))
    return " ".join(words)


def ground_words(one: Timing, decimal: str = "") -> str:
    """What lies there today, or empty."""
    here = one.ground(one.today)
    return "" if here is None else show_range(here.kg, decimal=decimal)
