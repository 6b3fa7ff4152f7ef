"""What a helper reads of a new plan."""

from dataclasses import replace
from datetime import date, datetime, time

from offseason.plan.changes import Cause, Change, Changes, Key, Kind, Presence, Reason, Result
from offseason.plan.reading import CombSafety
from offseason.share.terminal.changes import changes_text, sum_text
from offseason.share.terminal.show import Selection

SAT, SUN = date(2026, 10, 17), date(2026, 10, 18)
AWAY = Reason(Cause.PERSON, "Maren is away (2026-10-17..2026-10-18)")


def key(person="Maren", day=SAT, lot="brood boxes", step="scrape"):
    return Key(day, person, lot, step)


def found(*changes, entries=212, presences=None, before=None, after=None, since=None):
    changed = frozenset(k for c in changes if c.kind is not Kind.HOURS for k in (c.key, c.to) if k)
    return Changes(entries, changed, changes, presences or {}, before, after, since)


def moved(to, pieces=30, of=30, why=AWAY, **more):
    return Change(Kind.MOVED, key(), pieces, of, 6.0 * pieces, to, why=why, **more)


def flat(text):
    return " ".join(text.split())


def comb(since, treat_by=date(2027, 4, 19), *, safe=True, lot="super combs"):
    return Result((CombSafety(lot, 160, safe, since, treat_by),))


def test_nothing_changes_is_all_that_is_said_when_so():
    assert changes_text(found()) == "Nothing changes."
    same = comb(date(2026, 11, 15))
    assert changes_text(found(before=same, after=same)) == "Nothing changes."


def test_the_sum_stands_first_with_what_it_does_to_the_comb():
    dropped = Change(Kind.DROPPED, key(lot="lids"), 5, 5)
    told = found(moved(key("Joss")), dropped, before=comb(date(2026, 11, 15)), after=comb(date(2026, 11, 17)))
    assert flat(sum_text(told)) == (
        "2 of 212 entries change: 1 moved (1 to another person), 1 dropped; super combs: safe 2 days later "
        "(Tue 17 Nov), 153 days in hand instead of 155."
    )


def test_the_sum_says_when_comb_ends_up_open_or_all_is_as_before():
    before, after = comb(date(2026, 11, 15)), comb(None, safe=False)
    assert "super combs: NOT all protected at the end of the new plan" in sum_text(found(before=before, after=after))
    same = found(moved(key(day=SUN)), before=before, after=before)
    assert "comb is safe as before, 155 days in hand" in flat(sum_text(same))


def test_the_sum_says_from_which_day_it_counts_and_what_was_not_done_before_it():
    left = moved(key(day=SUN), 8, 8, overdue=True)
    told = sum_text(found(left, since=datetime.combine(SUN, time())))
    assert told.startswith("0 of 212 entries from Sun 18 Oct 2026 on change; 1 of days that are over was not done")


def test_the_end_of_must_work_is_told_when_it_moves():
    before, after = Result((), date(2027, 3, 14)), Result((), date(2027, 3, 20))
    told = sum_text(found(moved(key(day=SUN)), before=before, after=after))
    assert told.endswith("work that must be done ends Sat 20 Mar instead of Sun 14 Mar.")


def test_work_done_by_another_is_told_to_both_with_its_reason():
    there = {("Maren", SAT): Presence((time(9), time(12)), None), ("Joss", SAT): Presence(None, (time(9), time(12)))}
    text = changes_text(found(moved(key("Joss")), presences=there))
    joss, maren = text.split("\n\n")[1:]
    assert flat(joss) == (
        "Joss Sat 17 Oct 2026: called 09:00-12:00 (was not called) scrape: 30 brood boxes instead of Maren: "
        "Maren is away (Sat 17 Oct to Sun 18 Oct)"
    )
    assert flat(maren).startswith(
        "Maren Sat 17 Oct 2026: not called (was 09:00-12:00) scrape: 30 brood boxes done by Joss"
    )


def test_a_move_is_told_on_both_days_and_its_reason_once():
    text = flat(changes_text(found(moved(key(day=SUN), 10))))
    assert "scrape: 10 brood boxes moved to Sun 18 Oct (10 of 30): Maren is away" in text
    assert "scrape: 10 brood boxes moved from Sat 17 Oct" in text
    assert text.count("is away") == 1


def test_where_the_day_it_leaves_is_not_shown_the_reason_stands_where_it_comes():
    text = flat(changes_text(found(moved(key(day=SUN))), Selection(first=SUN)))
    assert "moved from Sat 17 Oct: Maren is away" in text
    assert "moved to" not in text


def test_one_reason_for_the_whole_day_stands_beside_the_day():
    text = changes_text(found(moved(key(day=SUN)), replace(moved(key(day=SUN, lot="lids")), key=key(lot="lids"))))
    line = next(line for line in text.splitlines() if "Sat 17 Oct 2026" in line)
    assert line.endswith("not called - Maren is away (Sat 17 Oct to Sun 18 Oct)")


def test_only_one_person_and_only_some_days_are_shown_when_asked():
    told = found(moved(key("Joss")), replace(moved(key(day=SUN, lot="lids")), key=key(lot="lids")))
    assert "\nMaren\n" not in changes_text(told, Selection(who="Joss"))
    assert "Nothing changes until Fri 16 Oct 2026 for Joss." in changes_text(
        told, Selection(None, date(2026, 10, 16), "Joss")
    )


def test_what_is_left_of_a_day_that_is_over_is_told_where_it_is_to_be_done():
    why = Reason(Cause.NOT_DONE, "22 of 30 were done")
    text = flat(changes_text(found(moved(key(day=SUN), 8, 8, why, overdue=True), since=datetime.combine(SUN, time()))))
    assert "scrape: 8 brood boxes left over from Sat 17 Oct: 22 of 30 were done" in text
    assert "Sat 17 Oct 2026" not in text


def test_every_kind_of_change_has_its_words_and_jobs_are_told_in_minutes():
    told = flat(
        changes_text(
            found(
                Change(Kind.NEW, key(), 4, 4),
                Change(Kind.MORE, key(lot="lids"), 4, 8),
                Change(Kind.FEWER, key(lot="floors"), 4, 8),
                Change(Kind.DROPPED, key(lot="mend the rack", step="mend the rack"), 4, 4, 60.0),
                Change(Kind.HOURS, key(lot="roofs"), 4, 4, starts=(time(9, 30, 20), time(14))),
            )
        )
    )
    for words in (
        "scrape: 4 brood boxes new",
        "scrape: 4 lids more, beside 8 as before",
        "scrape: 4 floors fewer (4 of 8)",
        "mend the rack (60 min) left out",
        "scrape: 4 roofs from 14:00 instead of 09:30",
    ):
        assert words in told


def test_it_fits_eighty_columns_and_no_name_steers_the_terminal():
    name = "Noël\x1b[2J the Younger, of Farther Quillet and " * 3
    lot = "boxes of the upper meadow, with a long name and old paint"
    long = replace(moved(key(name, SUN, lot)), key=key(name, SAT, lot))
    text = changes_text(found(long, replace(long, to=key("Joss", SAT, lot))))
    assert "\x1b" not in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_another_hour_of_a_day_carries_its_reason_or_says_that_none_was_found():
    why = Reason(Cause.FIT, "no reason was found")
    told = flat(changes_text(found(Change(Kind.HOURS, key(), 4, 4, starts=(time(9), time(14)), why=why))))
    assert "from 14:00 instead of 09:00: no reason was found" in told


def test_work_of_days_that_are_over_which_is_no_longer_wanted_is_not_counted_as_not_done():
    why = Reason(Cause.GONE, "brood boxes: no longer in the scenario")
    told = Change(Kind.DROPPED, key(), 40, 40, overdue=True, why=why)
    text = flat(changes_text(found(told, since=datetime.combine(SUN, time()))))
    assert "1 of days that are over is no longer asked for" in text
    assert "not done" not in text
    assert "scrape: 40 brood boxes left out: brood boxes: no longer in the scenario" in text


def test_comb_that_is_new_that_was_open_or_that_needs_no_work_is_told_without_a_day_of_before():
    safe = comb(date(2026, 11, 15))
    for before in (Result(), comb(None, safe=False), comb(None)):
        told = flat(sum_text(found(moved(key("Joss")), before=before, after=safe)))
        assert "super combs: safe from Sun 15 Nov, 155 days in hand" in told
    told = flat(sum_text(found(moved(key("Joss")), before=safe, after=comb(None))))
    assert "super combs: safe without any work now" in told


def test_of_many_lots_of_comb_the_tightest_are_told_and_the_others_counted():
    def lots(day):
        return Result(
            tuple(CombSafety(f"combs {n}", 9, True, date(2026, 11, day), date(2027, 4, 1 + n)) for n in range(6))
        )

    told = flat(sum_text(found(moved(key("Joss")), before=lots(15), after=lots(17))))
    named = [n for n in range(6) if f"combs {n}: safe 2 days later" in told]
    assert named == list(range(len(named)))
    assert named
    rest = 6 - len(named)
    assert f"{rest} more {'lot' if rest == 1 else 'lots'} of comb with other days in hand" in told
