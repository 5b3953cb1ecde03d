"""Plan the demo hat without a server and print what a maker reads: ``python -m service.demo``."""

import json

from service.api.document import document_folder
from service.application import create_app
from service.configuration import read_configuration

__all__ = ["main"]


def main() -> None:
    """Print the demo hat: its size, its rounds by section, its yarn and what to know."""
    path = document_folder() / "examples" / "hat-plans.demo.json"
    example = json.loads(path.read_text(encoding="utf-8"))
    client = create_app(read_configuration({})).test_client()
    plan = client.post("/v1/hat-plans", json=example["request"]).get_json()

    print(example["summary"])
    print(
        f"\nFinished: {plan['finished_circumference_cm']} cm around, {plan['finished_depth_cm']} cm deep;"
        f" fits heads of {plan['fits_head_cm']['low']} to {plan['fits_head_cm']['high']} cm."
    )
    print(f"\nFoundation\n{plan['foundation']['text']}")
    section = None
    for worked in plan["rounds"]:
        if worked["section"] != section:
            section = worked["section"]
            print(f"\n{section.capitalize()}")
        print(worked["text"])
    print("\nFinishing")
    for line in plan["finishing"]:
        print(line)
    print("\nMaterials")
    for material in plan["materials"]:
        print(f"{material['name'].capitalize()}: {material['text']}")
    print(f"\nAbout {plan['hours']['hours']} hours at the hook.\n\nWhat to know")
    for notice in plan["notices"]:
        print(f"- {notice['text']}")


if __name__ == "__main__":
    main()
