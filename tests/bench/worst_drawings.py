"""How long one request can keep a core busy with a drawing.

``python -m tests.bench.worst_drawings [SECONDS [SEED]]`` climbs from random hats to those whose drawings
take longer, over fabrics, gauges, kinds and forms, and prints the slowest of each with its milliseconds of
one core.
"""

import copy
import json
import random
import sys
import time
from collections.abc import Callable
from typing import Any

from service.api.drawing_forms import available_forms
from service.application import create_app
from service.configuration import read_configuration
from service.drawings.drawing import DRAWING_KINDS

SECONDS = 120.0
SEED = 11
#: Changes without a slower request before the climb begins anew.
PATIENCE = 30

Request = dict[str, Any]
FABRICS = (
    "plain-sc", "plain-hdc", "plain-dc", "post-rib-1x1", "post-rib-2x2", "cable-1x1", "cable-2x2",
    "cable-3x3", "cable-4x4", "basket-weave-4x4", "cable-and-twist", "mirrored-cables-2x2",
)  # fmt: skip

Draw = Callable[[random.Random], Any]


def _gauge(chance: random.Random) -> Request:
    return {
        "stitches_per_10cm": round(chance.choice([chance.uniform(8, 60), chance.uniform(0.5, 120)]), 1),
        "rounds_per_10cm": round(chance.choice([chance.uniform(5, 60), chance.uniform(0.5, 150)]), 1),
    }


def _own_fabric(chance: random.Random) -> Request:
    columns: list[Request] = []
    for _ in range(chance.randint(1, 12)):
        width = chance.choice([1, 1, 2, 2, 4, 6, 8, 16])
        column: Request = {"face": chance.choice(["front", "back", "flat"]), "width": width}
        if width % 2 == 0 and chance.random() < 0.6:
            column["crossing"] = {"over": width // 2, "lean": chance.choice(["left", "right"])}
        if sum(each["width"] for each in columns) + width <= 64:
            columns.append(column)
    return {"stitch": chance.choice(["sc", "hdc", "dc", "tr"]), "columns": columns, "round_repeat_count": 2}


#: What a request is made of; each can be drawn anew by itself.
_PARTS: dict[str, Draw] = {
    "head": lambda chance: {"circumference_cm": chance.randint(30, 75)},
    "gauge": _gauge,
    "fabric": lambda chance: (
        {"fabric_id": chance.choice(FABRICS)} if chance.random() < 0.6 else _own_fabric(chance)
    ),
    "style": lambda chance: chance.choice(["beanie", "cuffed", "slouch", "headband"]),
    "worked": lambda chance: chance.choice(["from_brim", "from_crown"]),
    "crown_shape": lambda chance: chance.choice(["rounded", "gathered", "flat", "tapered"]),
    "extent": lambda chance: chance.choice(["whole", "whole", "one_repeat"]),
    "start_chain_counts": lambda chance: chance.random() < 0.2,
    "handedness": lambda chance: chance.choice(["right", "left"]),
    "terms": lambda chance: chance.choice(["us", "uk"]),
}


def _changed(made: Request, chance: random.Random) -> Request:
    other = copy.deepcopy(made)
    name = chance.choice(["gauge", "gauge", "fabric", "head", *_PARTS])
    other[name] = _PARTS[name](chance)
    if name == "gauge" and chance.random() < 0.6:
        # A step instead of a leap: the limit on symbols is approached in small steps.
        step = chance.uniform(0.9, 1.1)
        other["gauge"] = {key: min(120, round(value * step, 1)) for key, value in made["gauge"].items()}
    return other


def _timed(client: Any, made: Request, form: str) -> tuple[float, int]:
    """Return the milliseconds of one core that a request takes, and the status of its answer."""
    begin = time.process_time()
    answer = client.post("/v1/drawings", json=made, headers={"Accept": form})
    return 1000 * (time.process_time() - begin), answer.status_code


def _climb(
    client: Any, chance: random.Random, kind: str, form: str, end: float
) -> tuple[float, int, Request]:
    """Return the slowest request of one climb."""
    made: Request = {"kind": kind, **{name: draw(chance) for name, draw in _PARTS.items()}}
    slowest, status = min(_timed(client, made, form) for _ in range(2))
    idle = 0
    while idle < PATIENCE and time.perf_counter() < end:
        other = _changed(made, chance)
        took, of_other = _timed(client, other, form)
        # Looked at twice more: whatever else the machine does must not pass for work.
        if took > slowest:
            took = min(took, *(_timed(client, other, form)[0] for _ in range(2)))
        idle = 0 if took > 1.02 * slowest else idle + 1
        if took >= slowest:
            slowest, status, made = took, of_other, other
    return slowest, status, made


def main() -> None:
    """Print the slowest requests found, by kind, form and status."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else SEED)
    client = create_app(read_configuration({})).test_client()
    worst: dict[tuple[str, str, int], tuple[float, Request]] = {}
    climbs, end = 0, time.perf_counter() + seconds
    turns = [(kind, form) for form in available_forms() for kind in DRAWING_KINDS]
    while time.perf_counter() < end:
        kind, form = turns[climbs % len(turns)]
        share = time.perf_counter() + seconds / len(turns) / 2
        took, status, made = _climb(client, chance, kind, form, min(end, share))
        climbs += 1
        if took > worst.get((kind, form, status), (0.0, {}))[0]:
            worst[kind, form, status] = (took, made)
    for (name, asked, status), (took, made) in sorted(worst.items()):
        print(f"{name} {asked} {status}: worst {took:.0f} ms of one core\n  {json.dumps(made)}")
    print(f"{climbs} climbs in {seconds:.0f} s: worst {max(took for took, _ in worst.values()):.0f} ms")


if __name__ == "__main__":
    main()
