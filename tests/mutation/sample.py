"""Put a sample of small faults into domain and notation and count those the tests find: ``make mutation``.

mutmut makes every mutant; a seeded sample of them is run, each against the tests that reach its function.
Prints the share that is killed with its 95 % interval, and the survivors. Ends with 1 under 85 %.
"""

import argparse
import json
import os
import random
import subprocess
import sys
from collections import Counter
from math import sqrt
from pathlib import Path

from mutmut.stats import status_by_exit_code

MUTANTS = Path("mutants")
LEAST_KILLED = 0.85
#: What no test can kill is no fault that a test missed.
_KILLED = ("killed", "timeout", "segfault", "caught by type check")


def mutmut(*names: str, child_count: int) -> None:
    """Run mutants with few examples for each property, the same ones each time."""
    environment = {**os.environ, "HYPOTHESIS_PROFILE": "mutation", "CI": "true"}
    environment["PYTHONPATH"] = str(MUTANTS.resolve())
    command = [sys.executable, "-m", "mutmut", "run", "--max-children", str(child_count), *names]
    subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=False)


def exit_codes(layer: str) -> dict[str, int | None]:
    """Return what came of each mutant of a layer, ``None`` where it was not run."""
    found: dict[str, int | None] = {}
    for path in sorted((MUTANTS / "service" / layer).glob("*.meta")):
        found |= json.loads(path.read_text())["exit_code_by_key"]
    return found


def interval(killed: int, count: int) -> tuple[float, float]:
    """Return the interval of a share (Wilson 1927), 95 %.

    Examples
    --------
    >>> [round(bound, 3) for bound in interval(90, 100)]
    [0.826, 0.945]
    """
    z = 1.959964
    share, spread = killed / count, z * z / count
    middle = (share + spread / 2) / (1 + spread)
    reach = z / (1 + spread) * sqrt(share * (1 - share) / count + spread / (4 * count))
    return middle - reach, middle + reach


def main() -> int:
    """Run the sample and say what came of it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=1000)
    options.add_argument("--seed", type=int, default=7)
    options.add_argument("--layers", nargs="+", default=["domain", "notation"])
    options.add_argument("--children", type=int, default=2)
    asked = options.parse_args()
    # A run of one mutant makes all of them, and finds out which test reaches which function.
    mutmut("service.domain.rounding.x_printed__mutmut_1", child_count=asked.children)
    names = sorted(name for layer in asked.layers for name in exit_codes(layer))
    chosen = random.Random(asked.seed).sample(names, min(asked.count, len(names)))
    mutmut(*chosen, child_count=asked.children)
    came_of = {name: code for layer in asked.layers for name, code in exit_codes(layer).items()}
    statuses = {name: status_by_exit_code[came_of[name]] for name in chosen}
    return _told(statuses, len(names))


def _told(statuses: dict[str, str], mutant_count: int) -> int:
    counts = Counter(statuses.values())
    killed = sum(counts[status] for status in _KILLED)
    low, high = interval(killed, len(statuses))
    for name in sorted(name for name, status in statuses.items() if status not in _KILLED):
        print(f"{statuses[name]}: {name}")
    print(f"{len(statuses)} of {mutant_count} mutants: {dict(counts)}")
    print(f"killed {killed / len(statuses):.1%} (95 % interval {low:.1%} to {high:.1%})")
    return int(killed / len(statuses) < LEAST_KILLED)


if __name__ == "__main__":
    sys.exit(main())
