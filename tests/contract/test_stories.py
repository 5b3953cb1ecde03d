"""Each of the three callers gets through its story, and the answers are those that the files show."""

import pytest
from flask.testing import FlaskClient

from tests.contract.stories import at, play, shown, stories

STORIES = stories()


def test_each_caller_has_a_story() -> None:
    assert set(STORIES) == {"mobile-app", "organizer", "web-shop"}


@pytest.mark.parametrize("caller", STORIES)
def test_a_story_is_answered_as_its_files_show(client: FlaskClient, caller: str) -> None:
    played = play(client, STORIES[caller])

    assert len(played) >= 3
    for name, (step, answer) in played.items():
        assert step["summary"], name
        if "answer" in step:
            assert shown(step["answer"], answer) == step["answer"], f"{name}: run python -m {play.__module__}"
        else:
            missing = [words for words in step["holds"] if words not in answer]
            assert step["holds"]
            assert missing == [], name


@pytest.mark.parametrize("caller", STORIES)
def test_a_story_carries_values_from_step_to_step(client: FlaskClient, caller: str) -> None:
    played = play(client, STORIES[caller])
    carried = [
        (name, pointer, source)
        for name, (step, _) in played.items()
        for pointer, source in step.get("carries", {}).items()
    ]

    for name, pointer, source in carried:
        place, _, found = source.partition("#")
        earlier, _, part = place.partition(".")
        request, answer = played[earlier][0]["request"], played[earlier][1]
        expected = at(found, request if part == "request" else answer)
        assert at(pointer, played[name][0]["request"]) == expected, f"{name}: {pointer}"
    assert carried
