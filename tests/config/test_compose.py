"""The production files keep their promises: start order, no root, no secret inside."""

import re

import pytest
import yaml

from tests.config.running import ROOT

COMPOSE = (ROOT / "docker-compose.yml").read_text()
DOCKERFILE = (ROOT / "config" / "Dockerfile").read_text()
PARSED = yaml.safe_load(COMPOSE)
SERVICES = PARSED["services"]
OURS = ["migrate", "web", "worker"]


def instructions(name):
    joined = DOCKERFILE.replace("\\\n", " ")
    return re.findall(rf"^{name}\s+(.*)$", joined, re.MULTILINE)


def test_the_services_are_database_migration_web_and_worker():
    assert sorted(SERVICES) == ["db", *OURS]


@pytest.mark.parametrize("name", OURS)
def test_every_service_of_ours_runs_one_image_with_few_rights(name):
    service = SERVICES[name]
    assert service["image"] == SERVICES["web"]["image"]
    assert service["build"] == {"context": ".", "dockerfile": "config/Dockerfile"}
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert "user" not in service
    assert "privileged" not in service


def test_the_migration_runs_once_and_after_the_database_is_healthy():
    assert SERVICES["migrate"]["restart"] == "no"
    assert SERVICES["migrate"]["command"][:3] == ["python", "manage.py", "migrate"]
    assert SERVICES["migrate"]["depends_on"] == {"db": {"condition": "service_healthy"}}


@pytest.mark.parametrize("name", ["web", "worker"])
def test_web_and_worker_wait_for_the_migration_and_come_back(name):
    assert SERVICES[name]["restart"] == "unless-stopped"
    assert SERVICES[name]["depends_on"] == {
        "db": {"condition": "service_healthy"},
        "migrate": {"condition": "service_completed_successfully"},
    }


def test_database_and_web_have_health_checks():
    assert "pg_isready" in SERVICES["db"]["healthcheck"]["test"][1]
    assert SERVICES["web"]["healthcheck"]["test"][1:] == [
        "python",
        "-m",
        "config.probe",
    ]


def test_data_outlives_the_containers():
    assert set(PARSED["volumes"]) == {"database", "files"}
    assert SERVICES["db"]["volumes"] == ["database:/var/lib/postgresql/data"]
    assert all(SERVICES[name]["volumes"] == ["files:/data"] for name in OURS)
    assert "DATA_DIR=/data" in DOCKERFILE


def test_the_database_is_a_supported_version_and_reached_from_inside_only():
    name, version = SERVICES["db"]["image"].split(":")
    assert name == "postgres"
    assert int(version) >= 15
    assert "ports" not in SERVICES["db"]


def test_the_app_is_published_on_the_loopback_address_only():
    assert [port.split(":")[0] for port in SERVICES["web"]["ports"]] == ["127.0.0.1"]


def test_the_secret_key_comes_as_a_file_and_nowhere_else():
    assert list(PARSED["secrets"]["secret_key"]) == ["file"]
    for name in OURS:
        environment = SERVICES[name]["environment"]
        assert environment["SECRET_KEY_FILE"] == "/run/secrets/secret_key"
        assert "SECRET_KEY" not in environment
        assert SERVICES[name]["secrets"] == ["secret_key"]


def test_passwords_and_hosts_have_no_default_but_a_sentence():
    for name in ("POSTGRES_PASSWORD", "ALLOWED_HOSTS"):
        uses = re.findall(rf"\$\{{{name}(.*?)\}}", COMPOSE)
        assert uses
        assert all(use.startswith(f":?Set {name} in .env") for use in uses)


def test_every_variable_is_explained_in_the_example():
    used = set(re.findall(r"\$\{(\w+)", COMPOSE))
    example = (ROOT / ".env.example").read_text()
    assert used == set(re.findall(r"^(\w+)=", example, re.MULTILINE))
    assert re.search(r"^POSTGRES_PASSWORD=$", example, re.MULTILINE)


def test_every_setting_that_compose_hands_over_is_read():
    settings = "".join(path.read_text() for path in (ROOT / "config").glob("*.py"))
    for name in SERVICES["web"]["environment"]:
        assert f'"{name.removesuffix("_FILE")}"' in settings, name


def test_the_image_installs_by_hash_and_runs_without_root():
    assert any("--require-hashes" in line for line in instructions("RUN"))
    assert instructions("USER") == ["logbook"]
    after = DOCKERFILE[DOCKERFILE.index("\nUSER ") :]
    assert "\nRUN" not in after.removeprefix("\nUSER")
    assert instructions("HEALTHCHECK")[0].endswith(
        'CMD ["python", "-m", "config.probe"]'
    )
    assert all("/" not in image.split()[0] for image in instructions("FROM"))


def test_the_image_gets_code_only():
    ignored = (ROOT / ".dockerignore").read_text().splitlines()
    assert "*" in ignored
    let_in = {line[1:] for line in ignored if line.startswith("!")}
    assert let_in == {
        "config",
        "plant",
        "records",
        "analytics",
        "templates",
        "manage.py",
    }
