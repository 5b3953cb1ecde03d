"""Evenly shaped rounds over HTTP."""

PATH = "/v1/shaping-rounds"


def test_a_joining_round_is_written_as_a_maker_would(client):
    answer = client.post(PATH, json={"from_stitch_count": 80, "to_stitch_count": 100, "stitch": "dc"}).json

    assert answer["text"] == "[2 dc in next st, dc in next 3 sts] 20 times"
    assert answer["uniform"] is True
    assert sum(answer["runs"]) + len(answer["changes"]) == 80


def test_uk_terms_name_the_stitch_one_step_higher(client):
    answer = client.post(
        PATH, json={"from_stitch_count": 12, "to_stitch_count": 9, "stitch": "sc", "terms": "uk"}
    ).json

    assert answer["text"] == "[dc2tog, dc in next 2 sts] 3 times"


def test_a_round_out_of_reach_says_from_where_to_where_it_can_go(client):
    refused = client.post(PATH, json={"from_stitch_count": 10, "to_stitch_count": 40})

    assert refused.status_code == 422
    assert (refused.json["low"], refused.json["high"]) == (5, 20)
