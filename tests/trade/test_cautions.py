"""Cautions beside hazardous work."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.cautions import CAUTIONS, LAST_WORD, cautions_for

ALL = [
    "lead",
    "dust",
    "solvents",
    "oily rags",
    "torch",
    "hot wax",
    "lye",
    "acids",
    "lifting",
    "moth crystals",
    "foulbrood",
]


def test_every_hazard_of_the_trade_has_one_sentence():
    assert list(CAUTIONS) == ALL
    assert all(sentence[0].isupper() and sentence.endswith(".") for sentence in CAUTIONS.values())


def test_the_label_and_the_authority_have_the_last_word():
    assert LAST_WORD == "The label and your local authority come before these numbers."


@pytest.mark.parametrize(
    ("caution", "says"),
    [
        ("lead", "test it before scraping or sanding"),  # common practice
        ("oily rags", "under water in a can with a lid"),  # published: NFPA
        ("torch", "watch the place for 60 minutes"),  # common practice
        ("hot wax", "above 175 °C"),  # published: Government of Western Australia
        ("hot wax", "150-170 °C"),  # published: the same
        ("hot wax", "never with water on it"),  # published: the same
        ("lye", "lye into cold water"),  # common practice
        ("lifting", "36-41 kg"),  # common practice
        ("moth crystals", "kill no eggs"),  # published: mid-Atlantic extension
        ("moth crystals", "14 days"),  # from memory, not confirmed
        ("moth crystals", "never on comb with honey"),  # published
        ("foulbrood", "Freezing does not kill the spores"),  # published: Government of Western Australia
    ],
)
def test_a_caution_says_the_usual_practice(caution, says):
    assert says in CAUTIONS[caution]


def test_oil_paint_brings_solvents_and_oily_rags():
    assert cautions_for(paint="oil") == ("solvents", "oily rags")
    assert cautions_for(paint="latex") == ()


@pytest.mark.parametrize("work", ["scrape", "Scraping boxes", "sand", "sanding down"])
def test_scraping_or_sanding_old_paint_brings_lead(work):
    assert cautions_for(kind_of_work=work, old_paint=True) == ("lead",)
    assert cautions_for(kind_of_work=work) == ("lead",), "not known to be bare"
    assert cautions_for(kind_of_work=work, old_paint=False) == ()


@pytest.mark.parametrize("work", ["freeze", "carry sandbags", "sort scrap", None])
def test_work_that_leaves_old_paint_alone_brings_no_lead(work):
    assert cautions_for(kind_of_work=work, old_paint=True) == ()


# which words of a name tell of which hazard: common practice, no source
@pytest.mark.parametrize(
    ("work", "caution"),
    [
        ("melt down old comb", "hot wax"),
        ("render the culled comb", "hot wax"),
        ("press the cappings", "hot wax"),
        ("Pressing last year's cappings", "hot wax"),
        ("wax dipping", "hot wax"),
        ("dip lids in wax", "hot wax"),
        ("pour hot wax", "hot wax"),
        ("torch inside", "torch"),
        ("scorch_boxes", "torch"),
        ("flame the floors", "torch"),
        ("blowtorch", "torch"),
        ("lye bath", "lye"),
        ("dip in caustic soda", "lye"),
        ("boil with sodium hydroxide", "lye"),
        ("burn sulphur", "acids"),
        ("sulfur strips", "acids"),
        ("CO2 chamber", "acids"),
        ("oxalic", "acids"),
        ("lay out moth crystals", "moth crystals"),
        ("strip the old paint", "solvents"),
        ("strip the old paint", "lead"),
    ],
)
def test_the_name_of_the_work_tells_of_the_hazard(work, caution):
    assert caution in cautions_for(kind_of_work=work, old_paint=False)


@pytest.mark.parametrize(
    "work",
    [
        "fill the solar melter",
        "surrender the keys",
        "press the lids flat",
        "wire and wax",
        "flamenco",
        "unlyed",
        "torchon",
    ],
)
def test_words_that_only_look_alike_bring_no_caution(work):
    assert cautions_for(kind_of_work=work, old_paint=False) == ()


@pytest.mark.parametrize(
    ("substance", "caution"),
    [
        ("acetic acid 80 %", "acids"),
        ("formic", "acids"),
        ("carbon dioxide", "acids"),
        ("paradichlorobenzene", "moth crystals"),
        ("caustic soda grams", "lye"),
        ("white spirit", "solvents"),
    ],
)
def test_a_treatment_or_supply_tells_of_the_hazard(substance, caution):
    assert cautions_for(substances=[substance]) == (caution,)


def test_stripping_gear_that_may_bear_old_paint_brings_lead_and_solvents():
    assert cautions_for(kind_of_work="strip") == ("lead", "solvents")
    assert cautions_for(kind_of_work="strip", old_paint=False) == ()


def test_the_keepers_own_words_and_the_implied_ones_come_once_each():
    found = cautions_for(words=["solvents", "lifting"], paint="oil", kind_of_work="scrape", old_paint=True)
    assert found == ("lead", "solvents", "oily rags", "lifting")


@given(st.lists(st.sampled_from(ALL)), st.sampled_from(["oil", "latex", "glue", None]), st.booleans())
def test_no_caution_that_was_written_is_ever_lost(words, paint, old_paint):
    found = cautions_for(words=words, paint=paint, kind_of_work="scrape", old_paint=old_paint)
    assert set(words) <= set(found)
    assert len(set(found)) == len(found)


def test_a_word_that_is_no_caution_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="'wasps' is not a caution known here; write one of lead, dust, solvents"):
        cautions_for(words=["wasps"])
