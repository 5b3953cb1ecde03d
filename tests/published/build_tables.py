"""Build the tables that follow from a published excerpt or a rule.

``python -m tests.published.build_tables`` writes them; a test compares them with what is committed.
"""

import csv
from collections.abc import Iterable, Iterator
from io import StringIO
from itertools import pairwise, product
from math import hypot, sqrt
from pathlib import Path

from service.domain.fabrics import BaseStitch
from service.domain.stitches import HEIGHT_RATIOS, TURNING_CHAINS

RAW = Path(__file__).parent / "raw"
REFERENCE = Path(__file__).parents[2] / "service" / "reference"

DAYS_IN_MONTH = 30.4375
TERM_WEEKS = 40

WHO = "WHO Child Growth Standards (2007), head circumference for age"
UK90 = "UK 1990 reference (UK90), reanalysed 2009, head circumference"

ANSUR = "ANSUR II 2012 (NATICK/TR-15/007), men and women pooled, about two thirds men"

#: Heads that sizes stand for: id, name, millimetres, age in months.
CHILD_SIZES = (
    ("newborn", "Newborn", 342, 0),
    ("1-month", "1 month", 369, 1),
    ("3-months", "3 months", 400, 3),
    ("6-months", "6 months", 428, 6),
    ("12-months", "12 months", 455, 12),
    ("24-months", "24 months", 477, 24),
    ("36-months", "36 months", 490, 36),
    ("6-years", "6 years", 527, 72),
    ("10-years", "10 years", 541, 120),
    ("14-years", "14 years", 554, 168),
)
PRETERM_SIZES = ((28, 265), (32, 299), (36, 326))
#: Adult sizes: id, millimetres, percentile of the pooled survey.
ADULT_SIZES = (
    ("adult-xs", 540, 5),
    ("adult-s", 557, 25),
    ("adult-m", 570, 50),
    ("adult-l", 582, 75),
    ("adult-xl", 600, 95),
    ("adult-xxl", 614, 99),
)

Row = tuple[object, ...]


def read_raw(name: str) -> list[dict[str, str]]:
    """Return the rows of a raw excerpt."""
    with (RAW / name).open(newline="") as file:
        return list(csv.DictReader(file))


def as_csv(header: Iterable[str], rows: Iterable[Row]) -> str:
    """Return rows as the text of a CSV file."""
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def build_growth() -> str:
    """Return growth.csv: WHO by month and by week of the first quarter, UK90 by year and before term."""
    header = ("reference", "sex", "age_months", "mean_mm", "sd_mm", "source")
    rows = [*_who_rows(), *_uk90_rows(), *_preterm_rows()]
    return as_csv(header, sorted(rows, key=lambda row: (str(row[0]), str(row[1]), float(str(row[2])))))


def _growth_row(reference: str, sex: str, months: float, m_cm: float, s: float, source: str) -> Row:
    return (reference, sex, f"{months:.6g}", f"{10 * m_cm:.3f}", f"{10 * m_cm * s:.3f}", source)


def _who_rows() -> Iterator[Row]:
    months = read_raw("who_months.csv")
    for row in months:
        yield _growth_row(
            "WHO", row["sex"], float(row["age_months"]), float(row["m_cm"]), float(row["s"]), WHO
        )
    published = {float(row["age_months"]) for row in months}
    for sex in ("female", "male"):
        days = {int(r["age_days"]): r for r in read_raw("who_days.csv") if r["sex"] == sex}
        yield from (_week_row(sex, day, days[day]) for day in range(7, 92, 7))
        yield from (_month_row(sex, month, days) for month in range(2, 36) if month not in published)


def _week_row(sex: str, day: int, row: dict[str, str]) -> Row:
    source = f"{WHO}, week {day // 7}"
    return _growth_row("WHO", sex, day / DAYS_IN_MONTH, float(row["m_cm"]), float(row["s"]), source)


def _month_row(sex: str, month: int, days: dict[int, dict[str, str]]) -> Row:
    """Return a month between the two days of the daily table that it falls between."""
    day, share = divmod(month * DAYS_IN_MONTH, 1)
    before, after = days[int(day)], days[int(day) + 1]
    m_cm = (1 - share) * float(before["m_cm"]) + share * float(after["m_cm"])
    s = (1 - share) * float(before["s"]) + share * float(after["s"])
    return _growth_row("WHO", sex, month, m_cm, s, f"{WHO}, from the daily table")


def _uk90_rows() -> Iterator[Row]:
    for row in read_raw("uk90_years.csv"):
        months = 12 * float(row["age_years"])
        yield _growth_row("UK90", row["sex"], months, float(row["m_cm"]), float(row["s"]), UK90)


def _preterm_rows() -> Iterator[Row]:
    for row in read_raw("uk90_preterm_weeks.csv"):
        months = (float(row["gestation_weeks"]) - TERM_WEEKS) * 7 / DAYS_IN_MONTH
        source = f"{UK90}, {row['gestation_weeks']} weeks of gestation"
        yield _growth_row("UK90-preterm", row["sex"], months, float(row["m_cm"]), float(row["s"]), source)


def mixed_sd(*, means: tuple[float, float], sds: tuple[float, float]) -> float:
    """Return the spread of two equal groups taken together."""
    return sqrt((sds[0] ** 2 + sds[1] ** 2) / 2 + ((means[0] - means[1]) / 2) ** 2)


def build_head_sizes() -> str:
    """Return head_sizes.csv: the published means, each with the spread of the heads that choose the row."""
    header = ("size_id", "name", "mean_mm", "sd_mm", "age_months", "source")
    return as_csv(header, [*_preterm_sizes(), *_child_sizes(), *_adult_sizes()])


def _preterm_sizes() -> Iterator[Row]:
    for weeks, mean_mm in PRETERM_SIZES:
        pair = [row for row in read_raw("uk90_preterm_weeks.csv") if int(row["gestation_weeks"]) == weeks]
        source = f"{UK90}, {weeks} weeks of gestation, mean of both sexes"
        name = f"Preterm, {weeks} weeks"
        yield (f"preterm-{weeks}-weeks", name, mean_mm, f"{_pair_sd(pair):.1f}", 0, source)


def _child_sizes() -> Iterator[Row]:
    for size_id, name, mean_mm, months in CHILD_SIZES:
        if months <= 36:
            pair = [row for row in read_raw("who_months.csv") if int(row["age_months"]) == months]
            source = f"{WHO}, mean of both sexes"
        else:
            pair = [row for row in read_raw("uk90_years.csv") if 12 * int(row["age_years"]) == months]
            source = f"{UK90}, mean of both sexes"
        yield (size_id, name, mean_mm, f"{_pair_sd(pair):.1f}", months, source)


def _pair_sd(pair: list[dict[str, str]]) -> float:
    first, second = ((10 * float(row["m_cm"]), float(row["s"])) for row in pair)
    return mixed_sd(means=(first[0], second[0]), sds=(first[0] * first[1], second[0] * second[1]))


def _adult_sizes() -> Iterator[Row]:
    """Yield the adult rows; the heads that choose one reach half-way to the rows beside it.

    Heads spread evenly over a width have a standard deviation of ``width / sqrt(12)``.
    An outer row reaches as far outward as inward.
    """
    gaps = [b[1] - a[1] for a, b in pairwise(ADULT_SIZES)]
    below, above = [gaps[0], *gaps], [*gaps, gaps[-1]]
    for (size_id, mean_mm, percentile), low, high in zip(ADULT_SIZES, below, above, strict=True):
        sd_mm = (low + high) / 2 / sqrt(12)
        name = f"Adult {size_id.removeprefix('adult-').upper()}"
        source = f"{ANSUR}, percentile {percentile}; spread: heads nearer to this row than to the next"
        yield (size_id, name, mean_mm, f"{sd_mm:.1f}", "", source)


US_NAMES: dict[str, str] = {
    "sc": "single crochet",
    "hdc": "half double crochet",
    "dc": "double crochet",
    "tr": "treble crochet",
    "dtr": "double treble crochet",
}
UK_NAMES: dict[str, tuple[str, str]] = {
    "sc": ("dc", "double crochet"),
    "hdc": ("htr", "half treble"),
    "dc": ("tr", "treble"),
    "tr": ("dtr", "double treble"),
    "dtr": ("trtr", "triple treble"),
}
LOOP_COUNTS = {"sc": 2, "hdc": 3, "dc": 4, "tr": 6, "dtr": 8}
UNITS: dict[str, tuple[float, float]] = {
    "sc": (1.00, 0.0),
    "hdc": (1.45, 0.06),
    "dc": (1.85, 0.15),
    "tr": (2.60, 0.30),
    "dtr": (3.30, 0.40),
}
#: Factor of the yarn and its deviation, and factor of the height.
MANNERS: dict[str, tuple[float, float, float]] = {
    "": (1.0, 0.0, 1.0),
    "fp": (1.12, 0.06, 0.75),
    "bp": (1.12, 0.06, 0.75),
    "fl": (1.0, 0.03, 1.0),
    "bl": (1.0, 0.03, 1.0),
}
US_MANNER_NAMES = {
    "": "{0}",
    "fp": "front post {0}",
    "bp": "back post {0}",
    "fl": "front loop {0}",
    "bl": "back loop {0}",
}
UK_MANNER_NAMES = {
    "": "{0}",
    "fp": "raised {0} front",
    "bp": "raised {0} back",
    "fl": "front loop {0}",
    "bl": "back loop {0}",
}
LEG_WORDS = {1: "", 2: " two together", 3: " three together"}
NAMES_SOURCE = "names: Craft Yarn Council abbreviations list; "
YARN_SOURCE = (
    "yarn: loop counts, an ideal-yarn length model and weighed swatches (common practice, no source)"
)


def build_stitches() -> str:
    """Return stitches.csv: chain, slip stitch and reverse sc, then every basic stitch and its variants."""
    header = [
        "code",
        "us_abbreviation",
        "us_name",
        "uk_abbreviation",
        "uk_name",
        "consumed_stitch_count",
        "made_stitch_count",
        "turning_chain_count",
        "relative_height",
        "sc_units",
        "sc_units_sd",
        "source",
    ]
    source = NAMES_SOURCE + YARN_SOURCE
    plain: list[Row] = [
        ("ch", "ch", "chain", "ch", "chain", 0, 0, 0, 0, "0.5000", "0.0500", source),
        ("sl_st", "sl st", "slip stitch", "ss", "slip stitch", 1, 1, 0, 0, "0.6000", "0.1000", source),
        (
            *("rev_sc", "rev sc", "reverse single crochet", "rev dc", "reverse double crochet"),
            *(1, 1, 1, 1, "1.1500", "0.1500", source),
        ),
    ]
    basics = product(LEG_WORDS, HEIGHT_RATIOS, MANNERS)
    return as_csv(header, [*plain, *(_stitch_row(base, manner, legs) for legs, base, manner in basics)])


def _stitch_row(base: BaseStitch, manner: str, legs: int) -> Row:
    together = f"{legs}tog" if legs > 1 else ""
    uk_base, uk_name = UK_NAMES[base]
    units, sd = _units(base, manner, legs)
    height = HEIGHT_RATIOS[base] * MANNERS[manner][2]
    return (
        f"{manner}{base}{together}",
        f"{manner.upper()}{base}{together}",
        US_MANNER_NAMES[manner].format(US_NAMES[base]) + LEG_WORDS[legs],
        f"{manner.upper()}{uk_base}{together}",
        UK_MANNER_NAMES[manner].format(uk_name) + LEG_WORDS[legs],
        *(legs, 1, TURNING_CHAINS[base], f"{height:.4g}", f"{units:.4f}", f"{sd:.4f}"),
        NAMES_SOURCE + YARN_SOURCE,
    )


def _units(base: str, manner: str, legs: int) -> tuple[float, float]:
    """Return yarn and deviation; each leg has all loops but the last, which closes all legs at once."""
    units, sd = UNITS[base]
    factor, factor_sd, _ = MANNERS[manner]
    loops = LOOP_COUNTS[base]
    together = (legs * (loops - 1) + 1) / loops
    return units * factor * together, together * hypot(sd * factor, units * factor_sd)


BUILT_TABLES = {
    "growth.csv": build_growth,
    "head_sizes.csv": build_head_sizes,
    "stitches.csv": build_stitches,
}


def main() -> None:
    """Write the tables."""
    for name, build in BUILT_TABLES.items():
        (REFERENCE / name).write_text(build())


if __name__ == "__main__":
    main()
