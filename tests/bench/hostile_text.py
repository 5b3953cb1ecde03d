"""How long the count checker is busy with texts that are meant to keep it busy.

``python -m tests.bench.hostile_text`` prints the worst of many mutated texts, in milliseconds of one core.
"""

import random
import time

from service.notation.count_checks import check_counts
from service.notation.reader import grammar
from service.notation.terms import TERMS
from tests.notation.corpus_cases import corpus_texts

TEXTS = 400
SEED = 11
MARKS = "()[]*,;.:0123456789 "


def _mutated(lines: list[str], chance: random.Random) -> str:
    """Return some lines of the corpus with letters changed, doubled and dropped."""
    text = "\n".join(chance.choices(lines, k=chance.randint(1, 400)))[: 64 * 1024]
    letters = list(text)
    for _ in range(chance.randint(0, 60)):
        place = chance.randrange(len(letters))
        letters[place] = chance.choice([chance.choice(MARKS), "", 2 * letters[place]])
    return "".join(letters)


def main() -> None:
    """Print the worst and the median time."""
    grammar()
    chance = random.Random(SEED)
    lines = [line for text in corpus_texts() for line in text.lines]
    times = []
    for _ in range(TEXTS):
        text, terms = _mutated(lines, chance), chance.choice(list(TERMS.values()))
        begin = time.process_time()
        check_counts(text, terms, 60)
        times.append(1000 * (time.process_time() - begin))
    times.sort()
    print(
        f"{TEXTS} mutated texts: median {times[len(times) // 2]:.1f} ms, worst {times[-1]:.1f} ms of one core"
    )


if __name__ == "__main__":
    main()
