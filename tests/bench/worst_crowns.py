"""How long one request can keep a core busy with the exact crown.

``python -m tests.bench.worst_crowns [SECONDS [SEED]]`` climbs from random requests to slower ones, over
schedules, reviews and whole hats, and prints the slowest with its milliseconds of one core.
"""

import copy
import json
import random
import resource
import sys
import time
from collections.abc import Callable
from typing import Any

from service.application import create_app
from service.configuration import read_configuration

SECONDS = 60.0
SEED = 7
#: Changes without a slower request before the climb begins anew.
PATIENCE = 40

Request = dict[str, Any]


def _column(chance: random.Random) -> Request:
    face = chance.choice(["front", "back", "flat"])
    width = chance.choice([1, 1, 2, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 13, 14, 16])
    if width % 2 or chance.random() < 0.4:
        return {"face": face, "width": width}
    return {"face": face, "width": width, "crossing": {"over": width // 2, "lean": "right"}}


def _fabric(chance: random.Random) -> Request:
    columns = [_column(chance) for _ in range(chance.choice([1, 2, 2, 3, 3, 4, 4, 5, 6, 8, 12]))]
    while sum(column["width"] for column in columns) > 64:
        columns.pop()
    return {
        "stitch": chance.choice(["sc", "hdc", "dc", "tr"]),
        "columns": columns,
        "round_repeat_count": chance.choice([2, 4, 8]),
    }


def _gauge(chance: random.Random) -> Request:
    return {
        "stitches_per_10cm": round(chance.choice([chance.uniform(8, 40), chance.uniform(0.5, 120)]), 1),
        "rounds_per_10cm": round(chance.choice([chance.uniform(5, 30), chance.uniform(0.5, 150)]), 1),
    }


#: What a crown may be asked for beside its fabric and gauge; left out as often as not.
_WISHES: dict[str, Callable[[random.Random], Any]] = {
    "crown_round_count": lambda chance: chance.choice([chance.randint(1, 12), chance.randint(1, 200)]),
    "closing_stitch_count_min": lambda chance: chance.randint(1, 12),
    "closing_stitch_count_max": lambda chance: chance.choice([4, 5, 8, 12, 30, 200]),
    "settle_round_count": lambda chance: chance.choice([0, 1, 2, 3, 8, 20]),
    "crown_group_count": lambda chance: chance.randint(1, 5),
    "crown_shape": lambda chance: chance.choice(["rounded", "gathered", "flat", "tapered"]),
    "worked": lambda chance: chance.choice(["from_brim", "from_crown"]),
}


def _wishes(chance: random.Random) -> Request:
    return {name: draw(chance) for name, draw in _WISHES.items() if chance.random() < 0.35}


def _begun(chance: random.Random) -> Request:
    """Return what a request is made of, before it is sent to one path or another."""
    return {
        "fabric": _fabric(chance),
        "gauge": _gauge(chance),
        "wishes": _wishes(chance),
        "repeats": chance.choice([chance.randint(1, 30), chance.randint(1, 200)]),
        "head_cm": chance.randint(30, 75),
        "path": chance.choice(["crown-schedules", "crown-reviews", "hat-plans"]),
    }


def _changed(made: Request, chance: random.Random) -> Request:
    """Return the same with one thing drawn anew."""
    other, fresh = copy.deepcopy(made), _begun(chance)
    what = chance.choice([*fresh, "column", "column", "repeats", "wish", "wish"])
    if what == "column":
        columns = other["fabric"]["columns"]
        place = chance.randrange(len(columns) + 1)
        columns[place : place + chance.randint(0, 1)] = [_column(chance)] if chance.random() < 0.8 else []
    elif what == "wish":
        name = chance.choice(list(_WISHES))
        other["wishes"].pop(name, None)
        if chance.random() < 0.7:
            other["wishes"][name] = _WISHES[name](chance)
    else:
        other[what] = fresh[what]
    return other


def _body(made: Request) -> Request:
    """Return the request's body."""
    fabric, wishes = made["fabric"], dict(made["wishes"])
    body: Request = {"fabric": fabric, "gauge": made["gauge"]}
    if made["path"] == "hat-plans":
        return {**body, **wishes, "head": {"circumference_cm": made["head_cm"]}}
    body["start_stitch_count"] = made["repeats"] * sum(column["width"] for column in fabric["columns"])
    if made["path"] == "crown-schedules":
        return {**body, **wishes}
    start, rounds = body["start_stitch_count"], wishes.get("crown_round_count", 12)
    body["stitch_counts"] = [max(1, start * (rounds - number) // rounds) for number in range(rounds)]
    return body | {name: wishes[name] for name in ("crown_shape", "worked") if name in wishes}


def _timed(client: Any, made: Request) -> tuple[float, int]:
    """Return the milliseconds of one core that a request takes, and the status of its answer."""
    begin = time.process_time()
    answer = client.post(f"/v1/{made['path']}", json=_body(made))
    return 1000 * (time.process_time() - begin), answer.status_code


def _climb(client: Any, chance: random.Random, end: float) -> tuple[float, int, Request]:
    """Return the slowest request of one climb."""
    made = _begun(chance)
    slowest, status = min(_timed(client, made) for _ in range(2))
    idle = 0
    while idle < PATIENCE and time.perf_counter() < end:
        other = _changed(made, chance)
        took, of_other = _timed(client, other)
        # Looked at twice: whatever else the machine does must not pass for work.
        if took > slowest:
            took = min(took, _timed(client, other)[0])
        idle = 0 if took > 1.02 * slowest else idle + 1
        if took >= slowest:
            slowest, status, made = took, of_other, other
    return slowest, status, made


def main() -> None:
    """Print the slowest requests found, by path and by whether they are answered."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else SEED)
    client = create_app(read_configuration({})).test_client()
    _timed(client, _begun(chance) | {"path": "hat-plans"})
    worst: dict[tuple[str, int], tuple[float, Request]] = {}
    climbs, end = 0, time.perf_counter() + seconds
    while time.perf_counter() < end:
        took, status, made = _climb(client, chance, end)
        climbs += 1
        if took > worst.get((made["path"], status), (0.0, {}))[0]:
            worst[made["path"], status] = (took, made)
    for (path, status), (took, made) in sorted(worst.items()):
        print(f"{path} {status}: worst {took:.0f} ms of one core\n  {json.dumps(_body(made))}")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{climbs} climbs in {seconds:.0f} s: worst {max(took for took, _ in worst.values()):.0f} ms, "
        f"the process at most {peak_mb:.0f} MB"
    )


if __name__ == "__main__":
    main()
