"""Usual amounts of what comb is treated with."""

import pytest

from offseason.trade.treatments import usual_amount


def amount(treatment, comb="dry", piece="deep comb", pieces=50, spaces=1):
    usual = usual_amount(treatment, comb, piece, pieces, spaces)
    return usual and (usual.amount, usual.unit)


def test_acetic_acid_takes_75_ml_for_each_box_of_ten_frames():
    # published: Norwegian beekeepers' association
    assert amount("acetic acid 80 %", pieces=10) == (75, "ml")
    assert amount("acetic acid 80 %", pieces=160) == (1200, "ml")


@pytest.mark.parametrize(
    ("treatment", "piece", "told"),
    [
        ("acetic acid", "deep comb", "75 ml of 80 % acid for a box of 10 frames"),
        ("paradichlorobenzene", "deep comb", "85 g for 5 deep boxes, and more as it is gone"),
        ("paradichlorobenzene", "medium comb", "85 g for 8 medium boxes, and more as it is gone"),
        ("paradichlorobenzene", "shallow comb", "85 g for 8 medium boxes, and more as it is gone"),
    ],
)
def test_beside_the_amount_stands_what_for(treatment, piece, told):
    usual = usual_amount(treatment, "dry", piece, 10, 1)
    assert usual is not None
    assert usual.each == told


def test_a_piece_of_two_comb_spaces_is_a_box_and_one_of_unknown_size_a_single_comb():
    assert amount("acetic acid", pieces=4, spaces=2) == (300, "ml")
    assert amount("acetic acid", pieces=4, spaces=None) == (75, "ml")


def test_nothing_to_treat_takes_nothing():
    assert amount("acetic acid", pieces=0) == (0, "ml")


def test_moth_crystals_are_for_comb_and_not_for_a_box_without():
    assert amount("paradichlorobenzene", piece="deep box", spaces=10) is None


def test_a_box_that_is_not_full_takes_as_much_as_a_full_one():
    assert amount("acetic acid 80 %", pieces=11) == (150, "ml")


def test_a_piece_of_several_comb_spaces_is_a_box():
    assert amount("acetic acid", piece="super full of comb", pieces=4, spaces=8) == (300, "ml")


def test_moth_crystals_take_85_g_for_five_deep_or_eight_medium_boxes():
    # published: a US state association
    assert amount("paradichlorobenzene", pieces=50) == (85, "g")
    assert amount("PDB", piece="medium comb", pieces=80) == (85, "g")


@pytest.mark.parametrize("piece", ["dadant comb", "comb of my own"])
def test_comb_larger_than_deep_or_of_unknown_size_leaves_the_crystals_to_the_label(piece):
    assert amount("paradichlorobenzene", piece=piece) is None


@pytest.mark.parametrize("treatment", ["acetic acid 80 %", "paradichlorobenzene"])
@pytest.mark.parametrize("comb", ["honey", None])
def test_no_amount_is_told_for_comb_with_honey_nor_where_nobody_says_what_it_holds(treatment, comb):
    assert amount(treatment, comb=comb) is None


def test_the_film_of_honey_on_wet_comb_keeps_moth_crystals_off_it_and_not_the_acid():
    assert amount("paradichlorobenzene", comb="wet") is None
    assert amount("acetic acid 80 %", comb="wet") == (375, "ml")


@pytest.mark.parametrize("treatment", ["acetic acid 60 %", "acetic acid 99,5 %"])
def test_acid_of_another_strength_is_left_to_its_label(treatment):
    assert amount(treatment) is None


@pytest.mark.parametrize("treatment", ["Bacillus thuringiensis subsp. aizawai", "burnt sulphur", "phosphine"])
def test_everything_else_is_left_to_its_label(treatment):
    assert amount(treatment) is None


def test_fewer_pieces_than_none_are_refused_in_a_sentence():
    with pytest.raises(ValueError, match="-1 pieces cannot be treated"):
        amount("acetic acid", pieces=-1)
