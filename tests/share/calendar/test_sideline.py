"""The sideline winter planned, planned anew with a helper away, and back again: what people's calendars then hold."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from offseason.commands.replan import plan_anew
from offseason.plan.audit import audit
from offseason.plan.layout import time_text
from offseason.plan.progress.standing import kept
from offseason.share.calendar import calendar_of
from offseason.share.from_to import from_to_text
from offseason.share.make_handout import handout
from offseason.workload.build import build_workload
from tests.share.calendar.made import BOTH, DAY, NOW
from tests.share.calendar.store import Store, fresh
from tests.share.calendar.test_again import changed_alone
from tests.share.calendar.test_bytes import check_lines
from tests.shipped_plans import shipped
from tests.sideline_events import AWAY, sideline, told

pytestmark = pytest.mark.slow

PEOPLE = (None, "Maren", "Joss", "Wilhelmina")


@pytest.fixture(scope="module")
def handouts(tmp_path_factory):
    """Of the first plan, and of the one after a helper is away one Saturday."""
    winter = shipped("sideline")
    scenario, outlook, plan = winter.scenario, winter.outlook, winter.plan
    assert not audit(scenario, plan, outlook)
    changed, other_outlook = sideline(tmp_path_factory.mktemp("away"), AWAY.text)
    entries, now = told(AWAY, plan)
    anew = plan_anew(changed, other_outlook, plan, kept(entries), now, seconds=8, workers=2)
    assert not audit(changed, anew.plan, other_outlook)
    assert anew.plan.scenario_file == plan.scenario_file
    return (
        handout(scenario, plan, build_workload(scenario, outlook)),
        handout(changed, anew.plan, build_workload(changed, other_outlook)),
    )


@pytest.mark.parametrize("who", PEOPLE)
def test_each_plan_imported_over_the_last_leaves_exactly_the_new_one(handouts, who):
    store, files = Store(), []
    for n, one in enumerate([handouts[0], handouts[1], handouts[0]]):
        now, before = NOW + n * DAY, files[-1] if files else None
        content = calendar_of(one, who, before, now=now, alarm_minutes=30)
        assert calendar_of(one, who, content, now=now + DAY, alarm_minutes=30) == content
        store.take(content)
        assert store.shown == fresh(calendar_of(one, who, None, now=now, alarm_minutes=30))
        files.append(content)
        if before:
            changed_alone(before, content)
        for old in files:
            assert store.take(old) == 0


def test_a_helper_away_one_saturday_changes_few_of_the_entries_ahead(handouts):
    """What lies behind may show other minutes: as it was done."""
    first = calendar_of(handouts[0], None, None, now=NOW, alarm_minutes=None)
    second = calendar_of(handouts[1], None, first, now=NOW + DAY, alarm_minutes=None)
    ahead = [one for one in BOTH[0](second) if str(one.begins) >= str(AWAY.today)]
    of_joss = [one for one in ahead if one.title.startswith("Cancelled: Joss")]
    assert {one.begins.date() for one in of_joss} == {*AWAY.days}
    assert sum(one.sequence > 0 for one in ahead) <= len(ahead) / 5


@pytest.mark.parametrize("read", BOTH)
def test_each_minute_of_each_persons_work_is_in_the_calendar_at_its_moment(handouts, read):
    for one in handouts:
        zone = ZoneInfo(one.timezone)
        for who in PEOPLE[1:]:
            content = calendar_of(one, who, None, now=NOW, alarm_minutes=None)
            check_lines(content)
            lines = Counter()
            for entry in read(content):
                if not isinstance(entry.begins, datetime):
                    continue
                begins = entry.begins.astimezone(zone)
                parts = [line.split(" ")[0].split("-") for line in entry.text.split("\n\n")[0].split("\n")]
                lines.update((begins.date(), *part) for part in parts)
                ends = entry.ends.astimezone(zone)
                assert [time_text(at.time().replace(second=0)) for at in (begins, ends)] == [parts[0][0], parts[-1][-1]]
            rows = [e.row for e in one.entries if who in e.row.who]
            assert lines == Counter((row.day, *from_to_text(row).split("-")) for row in rows)


def test_every_hazardous_work_carries_its_sentence(handouts):
    care = dict(handouts[0].care)
    content = calendar_of(handouts[0], None, None, now=NOW, alarm_minutes=None)
    words = Counter(word for e in handouts[0].entries for word in e.cautions for _ in e.row.who)
    assert words
    texts = [one.text for one in BOTH[0](content)]
    for word, many in words.items():
        assert 0 < sum(care[word] in text for text in texts) <= many
    for text in texts:
        assert text.endswith(handouts[0].last_word)


def test_the_file_is_small_enough_to_be_sent_to_a_phone(handouts):
    content = calendar_of(handouts[0], None, None, now=NOW, alarm_minutes=30)
    assert len(content) < 200_000
