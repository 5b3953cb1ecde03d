"""The files that run the service: checked against the schemas of what reads them, and against the service."""

import re
from pathlib import Path
from typing import Any

import kubernetes_validate
import pytest
import yaml

from service.configuration import SETTINGS, read_configuration

DOCKER = Path(__file__).parents[2] / "docker"
RESOURCES = list(yaml.safe_load_all((DOCKER / "kubernetes.yaml").read_text()))
COMPOSE = yaml.safe_load((DOCKER / "compose.yaml").read_text())


def _resource(kind: str) -> Any:
    return next(resource for resource in RESOURCES if resource["kind"] == kind)


@pytest.mark.parametrize("resource", RESOURCES, ids=lambda resource: resource["kind"])
def test_every_kubernetes_resource_keeps_to_its_schema(resource: Any) -> None:
    latest = kubernetes_validate.latest_version()

    checked_against = kubernetes_validate.validate(resource, latest, strict=True)

    assert latest.startswith(checked_against)


def test_the_pods_run_with_no_rights_they_do_not_need() -> None:
    pod = _resource("Deployment")["spec"]["template"]["spec"]
    rights = pod["containers"][0]["securityContext"]

    assert pod["securityContext"]["runAsNonRoot"]
    assert not pod["automountServiceAccountToken"]
    assert rights["readOnlyRootFilesystem"]
    assert not rights["allowPrivilegeEscalation"]
    assert rights["capabilities"]["drop"] == ["ALL"]


def test_a_pod_has_time_to_finish_what_it_began() -> None:
    pod = _resource("Deployment")["spec"]["template"]["spec"]
    settings = read_configuration(_resource("ConfigMap")["data"])

    waits_s = 5 + settings.drain_s + settings.time_limit_s
    assert "sleep(5)" in pod["containers"][0]["lifecycle"]["preStop"]["exec"]["command"][-1]
    assert pod["terminationGracePeriodSeconds"] > waits_s


def test_the_cluster_sets_only_what_the_service_knows() -> None:
    assert set(_resource("ConfigMap")["data"]) <= {setting.name for setting in SETTINGS}


def test_all_resources_are_about_the_same_pods() -> None:
    labels = _resource("Deployment")["spec"]["template"]["metadata"]["labels"]

    assert _resource("Service")["spec"]["selector"] == labels
    assert _resource("PodDisruptionBudget")["spec"]["selector"]["matchLabels"] == labels
    assert _resource("NetworkPolicy")["spec"]["podSelector"]["matchLabels"] == labels
    assert _resource("HorizontalPodAutoscaler")["spec"]["scaleTargetRef"]["kind"] == "Deployment"


def test_compose_runs_the_instances_that_nginx_knows() -> None:
    known = re.findall(r"server (hats-\d+):8080", (DOCKER / "nginx.conf").read_text())

    assert known == [name for name in COMPOSE["services"] if name.startswith("hats-")]
    for name in known:
        instance = COMPOSE["services"][name]
        assert set(instance["environment"]) <= {setting.name for setting in SETTINGS}
        assert instance["read_only"]
        assert instance["cap_drop"] == ["ALL"]
        assert "ports" not in instance
