"""How stitches are worked that no list has, written out by hand for each height."""

import pytest

from service.domain.hats import plan_hat
from service.notation.terms import TERMS, TermsId
from service.patterns.stitch_definitions import define_stitches, is_standard
from tests.orders import CABLE_4X4_ON_10, TABLES, hat_order


def _definitions(terms_id: TermsId, **wishes: object) -> dict[str, str]:
    plan = plan_hat(hat_order(**wishes), TABLES)  # type: ignore[arg-type]
    return {each.abbreviation: each.meaning for each in define_stitches(plan, terms_id)}


@pytest.mark.parametrize(
    "code", ["ch", "rev_sc", "sc", "fptr", "bpdtr", "blsc", "sc2tog", "dc2tog", "tr2tog"]
)
def test_stitches_on_the_standard_list_need_no_words(code: str) -> None:
    assert is_standard(code)


@pytest.mark.parametrize("code", ["fpdc2tog", "sc3tog", "dtr2tog", "bpsc2tog"])
def test_stitches_on_no_list_need_them(code: str) -> None:
    assert not is_standard(code)


def test_a_cable_crown_defines_its_decreases_in_us_terms() -> None:
    found = _definitions("us", fabric=CABLE_4X4_ON_10)

    assert found["BPdc2tog"] == (
        "[yo, insert hook from back to front to back around post of next st, yo and pull up a loop, "
        "yo and draw through 2 loops] 2 times, yo and draw through all 3 loops on hook."
    )
    assert found["tog"].startswith("Work each of the stitches in the brackets")


def test_the_same_decreases_are_defined_in_uk_terms() -> None:
    found = _definitions("uk", fabric=CABLE_4X4_ON_10)

    assert found["BPtr2tog"].startswith("[yoh, insert hook from back to front to back")
    assert " yo " not in " ".join(found.values())


def test_a_plain_crown_needs_no_definitions() -> None:
    assert all(_definitions(terms_id, fabric="plain-sc", brim=None) == {} for terms_id in TERMS)
