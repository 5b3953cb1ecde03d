"""Write the committed OpenAPI document: ``python -m service.api.write_document``."""

from service.api.document import build_document, document_folder
from service.api.routes import RESOURCES, TAGS
from service.api.routes.service_pages import document_yaml

__all__ = ["main"]


def main() -> None:
    """Write ``openapi/openapi.yaml`` from the code."""
    operations = [operation for resource in RESOURCES for operation in resource.operations]
    text = document_yaml(build_document(operations, TAGS))
    (document_folder() / "openapi.yaml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
