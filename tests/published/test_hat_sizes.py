"""Hat sizes against a published conversion table."""

import pytest

from service.domain.hat_sizes import hat_size
from tests.published.build_tables import read_raw


@pytest.mark.parametrize("row", read_raw("hat_sizes.csv"), ids=lambda row: row["head_cm"])
def test_a_head_has_its_published_sizes(row: dict[str, str]) -> None:
    size = hat_size(10 * float(row["head_cm"]))

    assert (size.us, size.uk, size.metric_cm) == (row["us"], row["uk"], int(row["head_cm"]))


def test_french_sizes_count_half_centimetres_from_47() -> None:
    # Published: 59 cm is French 6.
    assert hat_size(590).french == 6
    assert hat_size(580).french == 5.5
    assert hat_size(480).french == 0.5


def test_a_head_below_the_french_scale_has_no_french_size() -> None:
    assert hat_size(342).french is None
    assert hat_size(342).us == "4 1/4"
