"""Reference tables over the interface: whole, with sources, and cacheable."""

import pytest
from flask.testing import FlaskClient

from service.api.schemas.choices import FABRIC_IDS, SIZE_IDS

TABLES = ["head-sizes", "yarn-weights", "hook-sizes", "stitches", "fabrics"]


@pytest.mark.parametrize("table", TABLES)
def test_a_table_comes_whole_and_each_row_names_its_source(client: FlaskClient, table: str) -> None:
    response = client.get(f"/v1/{table}")

    assert response.status_code == 200
    body = response.json or {}
    assert body["next"] is None
    assert body["items"]
    assert all(row["source"] for row in body["items"])


@pytest.mark.parametrize("table", TABLES)
def test_a_table_that_a_client_has_is_not_sent_again(client: FlaskClient, table: str) -> None:
    first = client.get(f"/v1/{table}")
    tag = first.headers["ETag"]

    again = client.get(f"/v1/{table}", headers={"If-None-Match": tag})

    assert not tag.startswith("W/")
    assert first.headers["Cache-Control"] == "public, max-age=3600"
    assert again.status_code == 304
    assert again.data == b""
    assert again.headers["ETag"] == tag


@pytest.mark.parametrize("table", TABLES)
def test_a_table_has_a_head_and_no_other_method(client: FlaskClient, table: str) -> None:
    head = client.head(f"/v1/{table}")
    post = client.post(f"/v1/{table}", json={})

    assert (head.status_code, head.data) == (200, b"")
    assert post.status_code == 405
    assert "GET" in post.headers["Allow"]


def test_requests_name_exactly_the_sizes_and_fabrics_of_the_tables(client: FlaskClient) -> None:
    sizes = (client.get("/v1/head-sizes").json or {})["items"]
    fabrics = (client.get("/v1/fabrics").json or {})["items"]

    assert tuple(row["size_id"] for row in sizes) == SIZE_IDS
    assert tuple(row["fabric_id"] for row in fabrics) == FABRIC_IDS


def test_a_fabric_shows_its_columns_and_its_multiple(client: FlaskClient) -> None:
    fabrics = {row["fabric_id"]: row for row in (client.get("/v1/fabrics").json or {})["items"]}

    cable = fabrics["cable-3x3"]

    assert (cable["stitch"], cable["stitch_multiple"], cable["round_repeat_count"]) == ("dc", 8, 4)
    assert [column["width"] for column in cable["columns"]] == [2, 6]
    assert cable["columns"][1]["crossing"]["over"] == 3
    assert all(row["stitch_multiple"] == sum(c["width"] for c in row["columns"]) for row in fabrics.values())
