"""The vocabularies: each US word beside its UK twin."""

import pytest

from service.notation.terms import UK, US


@pytest.mark.parametrize(
    ("code", "us", "uk"),
    [
        ("sl_st", "sl st", "ss"),
        ("sc", "sc", "dc"),
        ("hdc", "hdc", "htr"),
        ("dc", "dc", "tr"),
        ("tr", "tr", "dtr"),
        ("dtr", "dtr", "trtr"),
        ("sc2tog", "sc2tog", "dc2tog"),
        ("dc2tog", "dc2tog", "tr2tog"),
        ("fpdc", "FPdc", "FPtr"),
        ("bphdc", "BPhdc", "BPhtr"),
        ("rev_sc", "rev sc", "rev dc"),
        ("blsc", "BLO sc", "BLO dc"),
    ],
)
def test_each_stitch_has_its_twin(code: str, us: str, uk: str) -> None:
    # Craft Yarn Council list and independent lists of abbreviations; FPtr is the raised treble front.
    assert (US.abbreviation(code), UK.abbreviation(code)) == (us, uk)


def test_both_terms_have_the_same_sentences_and_words() -> None:
    assert US.sentences.keys() == UK.sentences.keys()
    assert US.words.keys() == UK.words.keys()


def test_no_single_crochet_occurs_in_uk_terms() -> None:
    codes = [manner + base for manner in ("", *UK.manners) for base in UK.bases]

    assert not [code for code in codes if "sc" in UK.abbreviation(code) or "single" in UK.name(code)]


def test_full_names_follow_the_terms() -> None:
    assert US.name("fpdc2tog") == "front post double crochet 2 stitches together"
    assert UK.name("bpdc") == "raised treble back"
    assert UK.name("sc") == "double crochet"
