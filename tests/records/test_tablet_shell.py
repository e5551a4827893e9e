"""The page of the tablet form and its worker: rules as they are, no data of pumps."""

import json
import re
from itertools import product
from pathlib import Path

import pytest
from django.test import override_settings
from django.urls import reverse

from plant.choices import ConditionFound, WhyRemoved
from records.services.half_done import question_in_words
from records.stories.repair_parts import ending_in_words
from records.stories.tablet_shell import endings_in_words, half_done_in_words
from records.views.tablet_shell import FILES, asset_addresses
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.records.plant_at_hand import STOPPED, plant_at_hand

SCRIPTS = Path(FILES) / "site" / "js" / "tablet"
IMPORTED = re.compile(r"""(?:from|import)\s*\(?["']\./([\w-]+\.js)["']""")


@pytest.fixture
def shell(planner_client):
    return planner_client.get(reverse("records:tablet"))


def config_of(response):
    text = response.content.decode()
    return json.loads(
        re.search(r'<script id="tablet-config"[^>]*>(.*?)</script>', text)[1]
    )


def test_the_page_names_the_person_and_no_pump(planner_client, planner):
    here = plant_at_hand()
    answer = planner_client.get(reverse("records:tablet"))
    config = config_of(answer)
    assert config["user"]["id"] == planner.pk
    assert config["user"]["sees_costs"] is True
    text = answer.content.decode()
    for word in (here.position.tag, here.pump.serial_number, here.seal.part_number):
        assert word not in text


def test_a_fitter_is_not_asked_for_costs(db):
    client = logged_in(UserFactory(role="fitter"))
    answer = client.get(reverse("records:tablet"))
    assert config_of(answer)["user"]["sees_costs"] is False
    assert "Costs in" not in answer.content.decode()


def test_the_page_makes_a_fixed_number_of_queries(
    planner_client, django_assert_max_num_queries
):
    plant_at_hand()
    with django_assert_max_num_queries(6):
        planner_client.get(reverse("records:tablet"))


def test_without_script_a_link_leads_to_the_ordinary_form(shell):
    text = shell.content.decode()
    without = re.search(r"<noscript>(.*?)</noscript>", text, re.S)[1]
    assert f'href="{reverse("records:repair_new")}"' in without
    assert '<div class="tablet" data-tablet hidden>' in text


def test_no_button_approves_releases_or_starts_anything(shell):
    buttons = re.findall(r"<button[^>]*>(.*?)</button>", shell.content.decode(), re.S)
    assert len(buttons) > 10
    words = " ".join(buttons).lower()
    for forbidden in ("approve", "release", "start", "permit"):
        assert forbidden not in words


@pytest.mark.parametrize("defect", ["yes", "no", "unknown"])
def test_endings_shown_are_those_of_the_one_rule(db, defect):
    life = plant_at_hand().seal
    life.removed_at = life.ended_at = STOPPED
    life.defect_detected = {"yes": True, "no": False, "unknown": None}[defect]
    shown = endings_in_words()
    for condition, why in product(ConditionFound.values, WhyRemoved.values):
        life.condition_found, life.why_removed = condition, why
        words = shown[f"{defect}|{condition}|{why}"]
        assert words.startswith(f"{ending_in_words(life)}: ")


def test_endings_say_what_they_count_as():
    shown = endings_in_words()
    assert "counts as a failure" in shown["yes|worn|defect"]
    assert "counts as a suspension" in shown["no|good|practice"]
    assert "site's rule" in shown["no|reject|practice"]
    assert "left out" in shown["unknown|good|unknown"]


def test_every_half_done_question_has_its_sentence():
    shown = half_done_in_words()
    assert shown["failed:mechanical seal"].startswith("The failed item is")
    assert len(shown) == 24
    assert all(question_in_words(code) == words for code, words in shown.items())


def test_the_worker_keeps_every_script_that_a_script_imports(client):
    answer = client.get(reverse("records:tablet_worker"))
    assert answer["Service-Worker-Allowed"] == "/tablet/"
    assert answer["Cache-Control"] == "no-cache"
    assert answer["Content-Type"].startswith("text/javascript")
    kept = json.loads(re.search(r"self\.kept = (.*);\n", answer.content.decode())[1])
    imported = {
        name
        for script in SCRIPTS.glob("*.js")
        for name in IMPORTED.findall(script.read_text())
    }
    assert len(imported) > 10
    for name in imported:
        assert f"/static/site/js/tablet/{name}" in kept["assets"]
    assert "/static/site/css/site.css" in kept["assets"]


def test_the_worker_keeps_what_the_page_links(client, shell):
    linked = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', shell.content.decode()))
    assert len(linked) > 3
    assert linked <= set(asset_addresses())


def test_the_page_tells_the_version_of_its_worker(client, shell):
    worker = client.get(reverse("records:tablet_worker")).content.decode()
    assert f'"version": "{shell["Tablet-Version"]}"' in worker


def test_another_asset_is_another_version(client, tmp_path, monkeypatch):
    before = client.get(reverse("records:tablet_worker")).content
    site = tmp_path / "site"
    (site / "js" / "tablet").mkdir(parents=True)
    (site / "css").mkdir()
    (site / "mark.svg").write_text("<svg/>")
    (site / "js" / "tablet" / "main.js").write_text("other")
    monkeypatch.setattr("records.views.tablet_shell.FILES", tmp_path)
    with override_settings(DEBUG=True):
        after = client.get(reverse("records:tablet_worker")).content
    version = re.compile(rb'"version": "(\w+)"')
    assert version.search(before)[1] != version.search(after)[1]


def test_the_page_of_repairs_leads_to_it_only_who_may_log(
    planner_client, manager_client
):
    url = reverse("records:tablet")
    link = f'href="{url}">Log on a tablet'
    assert link in planner_client.get("/repairs/").content.decode()
    assert link not in manager_client.get("/repairs/").content.decode()
    assert manager_client.get(url).status_code == 403
