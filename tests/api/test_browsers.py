"""Calls from pages in a browser: off by default, and only for the origins that are allowed."""

import pytest
from flask.testing import FlaskClient

from service.application import create_app
from service.configuration import ConfigurationRefused, read_configuration

SHOP = "https://shop.example"
PATH = "/v1/shaping-rounds"
BODY = {"from_stitch_count": 80, "to_stitch_count": 70}


@pytest.fixture(scope="module")
def shop_client() -> FlaskClient:
    origins = f"{SHOP}, http://localhost:3000"
    return create_app(read_configuration({"ALLOWED_ORIGINS": origins})).test_client()


def test_by_default_no_page_of_another_site_may_read_an_answer(client: FlaskClient) -> None:
    answer = client.post(PATH, json=BODY, headers={"Origin": SHOP})

    assert answer.status_code == 200
    assert not [name for name, _ in answer.headers if name.startswith("Access-Control")]


@pytest.mark.parametrize("origin", [SHOP, "http://localhost:3000"])
def test_an_allowed_page_may_read_answers_and_their_headers(shop_client: FlaskClient, origin: str) -> None:
    answer = shop_client.post(PATH, json=BODY, headers={"Origin": origin})

    assert answer.headers["Access-Control-Allow-Origin"] == origin
    assert "Rules-Version" in answer.headers["Access-Control-Expose-Headers"]
    assert "Origin" in answer.headers["Vary"]
    assert "Access-Control-Allow-Credentials" not in answer.headers


def test_an_allowed_page_may_read_the_file_name_of_a_document(shop_client: FlaskClient) -> None:
    answer = shop_client.post(PATH, json=BODY, headers={"Origin": SHOP})

    assert "Content-Disposition" in answer.headers["Access-Control-Expose-Headers"].split(", ")


@pytest.mark.parametrize(
    "origin", ["https://other.example", "null", "http://shop.example", f"{SHOP}.evil.example"]
)
def test_other_pages_may_not(shop_client: FlaskClient, origin: str) -> None:
    answer = shop_client.post(PATH, json=BODY, headers={"Origin": origin})

    assert "Access-Control-Allow-Origin" not in answer.headers
    assert "Origin" in answer.headers["Vary"]


def test_a_problem_may_be_read_as_well(shop_client: FlaskClient) -> None:
    answer = shop_client.post(PATH, json={}, headers={"Origin": SHOP})

    assert answer.status_code == 422
    assert answer.headers["Access-Control-Allow-Origin"] == SHOP


def test_a_browser_that_asks_first_hears_what_it_may_send(shop_client: FlaskClient) -> None:
    asking = {
        "Origin": SHOP,
        "Access-Control-Request-Method": "POST",
        "Access-Control-Request-Headers": "content-type",
    }

    answer = shop_client.options(PATH, headers=asking)

    assert answer.status_code == 204
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
    assert "Content-Type" in answer.headers["Access-Control-Allow-Headers"]
    assert answer.headers["Access-Control-Max-Age"] == "3600"


def test_where_nothing_is_no_method_is_allowed(shop_client: FlaskClient) -> None:
    asking = {"Origin": SHOP, "Access-Control-Request-Method": "POST"}

    answer = shop_client.options("/nothing", headers=asking)

    assert answer.status_code == 404
    assert "Access-Control-Allow-Methods" not in answer.headers


def test_a_star_allows_any_page() -> None:
    client = create_app(read_configuration({"ALLOWED_ORIGINS": "*"})).test_client()

    answer = client.get("/v1/fabrics", headers={"Origin": "https://anyone.example"})

    assert answer.headers["Access-Control-Allow-Origin"] == "*"


@pytest.mark.parametrize(
    "origins",
    [
        "shop.example",
        "https://shop.example/",
        "https://Shop.example",
        "*, https://shop.example",
        "null",
        "https://shop.example:99999",
        "https://shop.example:65536",
    ],
)
def test_a_setting_that_is_no_origin_is_refused_at_start(origins: str) -> None:
    with pytest.raises(ConfigurationRefused, match="ALLOWED_ORIGINS"):
        read_configuration({"ALLOWED_ORIGINS": origins})
