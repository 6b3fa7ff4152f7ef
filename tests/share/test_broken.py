"""What the audit found, for reading."""

from offseason.plan.audit import Broken
from offseason.share.terminal.broken import broken_text


def test_a_good_plan_keeps_every_promise():
    assert broken_text((), "winter.plan.yaml") == "winter.plan.yaml keeps every promise."


def test_broken_promises_are_counted_and_stand_under_the_word_of_their_promise():
    found = (
        Broken("seats", None, "bench: three at two seats"),
        Broken("order", None, "boxes: painted before scraped"),
        Broken("seats", None, "bench: four at two seats"),
    )
    assert broken_text(found, "winter.plan.yaml") == (
        "winter.plan.yaml breaks 3 promises:\n\n"
        "order\n  - boxes: painted before scraped\n\n"
        "seats\n  - bench: three at two seats\n  - bench: four at two seats"
    )


def test_a_long_sentence_is_wrapped_to_eighty_columns():
    text = broken_text((Broken("order", None, "boxes from the lower yard " * 10),), "winter.plan.yaml")
    assert max(map(len, text.splitlines())) <= 80


def test_of_thousands_of_broken_promises_the_first_are_told_and_how_many_more():
    text = broken_text([Broken("order", None, f"boxes: {n}") for n in range(5_000)], "winter.plan.yaml")
    assert text.startswith("winter.plan.yaml breaks 5,000 promises:")
    assert text.endswith("  - boxes: 199\n  - and 4,800 more of this kind")
