"""How long the count checker is busy with texts that are meant to keep it busy.

``python -m tests.bench.hostile_text`` prints the worst of many mutated texts, and what texts cost that have
many rounds, sizes, names or wrong numbers, in milliseconds of one core. Every line is read anew.
"""

import random
import time

from service.notation import reader
from service.notation.checked_rounds import CountCheck
from service.notation.count_checks import MOST_BYTES, check_counts
from service.notation.reader import grammar
from service.notation.terms import TERMS, US, Terms
from tests.notation.corpus_cases import corpus_texts

TEXTS = 400
SEED = 11
SIZES = 24
MARKS = "()[]*,;.:0123456789 "


def _mutated(lines: list[str], chance: random.Random) -> str:
    """Return some lines of the corpus with letters changed, doubled and dropped."""
    text = "\n".join(chance.choices(lines, k=chance.randint(1, 400)))[:MOST_BYTES]
    letters = list(text)
    for _ in range(chance.randint(0, 60)):
        place = chance.randrange(len(letters))
        letters[place] = chance.choice([chance.choice(MARKS), "", 2 * letters[place]])
    return "".join(letters)


def _sized(first: int) -> str:
    return f"{first} ({', '.join(str(first + more) for more in range(1, SIZES))})"


def _many_sized() -> dict[str, str]:
    """Return texts for the most sizes, with as many rounds as are read."""
    begin = f"Ch {_sized(60)}, join."
    rounds = {
        "equal rounds": "Rnd {k}: Sc in each st around.",
        "different rounds": "Rnd {k}: Sc in next {k} sts, sc in each st around.",
        "wrong rounds": "Rnd {k}: Sc in next {k} sts, 2 sc in next st, sc around. ({k})",
        "named stitches": "Rnd {k}: Sc in next {k} sc, dc in each sc around. ({k} sc, 7 dc)",
        "named spaces": "Rnd {k}: [ch {k}, sk 1 st, dc in next st] around. (30 dc, 30 ch-3 sps)",
        "chains unsaid": "Rnd {k}: Ch 5, sk 1 st, [dc in next st, ch 2, sk {k} st] around. (20)",
        "words unknown": "Rnd {k}: Sc in nxet {k} st. (20)",
        "counts below": "Rnd {k}: Sc around\n({k} sts)",
    }
    sized = {
        f"{SIZES} sizes, {name}": "\n".join([begin, *(line.format(k=k) for k in range(1, 390))])
        for name, line in rounds.items()
    }
    own = (f"Rnd {k}: [Sc in next {_sized(k)} sts, 2 sc in next st] 6 times; join." for k in range(1, 390))
    runs = (f"Rnds {10 * k + 1}-{10 * k + 10}: Sc in next {k} sts, inc, sc around" for k in range(1, 38))
    return sized | {
        f"{SIZES} sizes, sized rounds": "\n".join([begin, *own]),
        f"{SIZES} sizes, runs": "\n".join([begin, *runs]),
        "kinds counted": f"Rnd 1: Sc around. ({', '.join(f'{k} sc' for k in range(4_500))})",
        "chain spaces": "\n".join(
            f"Rnd {k}: [ch {k % 9 + 1}, sc in next ch-sp, sc in next st] around" for k in range(1, 390)
        ),
        "headings": "Crown of it\n" * 5_000,
        "remarks": "Turn.\n" * 10_000,
    }


def _timed(text: str, terms: Terms) -> tuple[float, CountCheck]:
    reader._read.cache_clear()
    reader._read_label.cache_clear()
    begin = time.process_time()
    check = check_counts(text[:MOST_BYTES], terms, 60)
    return 1000 * (time.process_time() - begin), check


def main() -> None:
    """Print the worst and the median time of the mutated texts, and the time of each of the others."""
    grammar()
    chance = random.Random(SEED)
    lines = [line for text in corpus_texts() for line in text.lines if line]
    times = sorted(
        _timed(_mutated(lines, chance), chance.choice(list(TERMS.values())))[0] for _ in range(TEXTS)
    )
    print(
        f"{TEXTS} mutated texts: median {times[len(times) // 2]:.1f} ms, worst {times[-1]:.1f} ms of one core"
    )
    for name, text in _many_sized().items():
        taken, check = _timed(text, US)
        print(f"{name}: {taken:.1f} ms, {len(check.rounds)} entries, {check.verdict}")


if __name__ == "__main__":
    main()
