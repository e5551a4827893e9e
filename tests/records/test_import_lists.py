"""The list of imports, who sees it, the templates and the help."""

import io
import zipfile

import openpyxl
import pytest
from django.urls import reverse

from plant.models import Job
from records.importing.layout import SHEETS
from records.models import FleetImport
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.records.importing.sending import LIST, sent
from tests.records.importing.sheets import as_csv, fleet

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def test_only_imports_of_a_users_own_sites_are_listed(administrator_client):
    foreign = sent(administrator_client, as_csv(fleet()))
    administrator_client.post(f"/import/{foreign.pk}/store/")
    site = SiteFactory(name="South works")
    limited = UserFactory(role="administrator", sees_all_sites=False)
    limited.sites.add(site)
    client = logged_in(limited)
    tables = fleet(positions__1__site="South works", positions__2__site="South works")
    tables["positions"][1][2], tables["positions"][2][2] = "S-1", "S-2"
    own = sent(client, as_csv({"positions": tables["positions"]}))
    html = client.get(LIST).content.decode()
    assert f"/import/{own.pk}/" in html
    assert f"/import/{foreign.pk}/" not in html
    assert client.get(f"/import/{foreign.pk}/").status_code == 404
    assert client.post(f"/import/{foreign.pk}/store/").status_code == 404
    colleague = UserFactory(role="administrator", sees_all_sites=False)
    colleague.sites.add(site)
    assert f"/import/{own.pk}/" in logged_in(colleague).get(LIST).content.decode()


ADDRESSES = [
    "records:import_list",
    "records:import_export",
    "records:import_columns",
]


@pytest.mark.parametrize("role", ["planner", "reliability engineer", "manager"])
def test_other_roles_do_not_see_the_pages(role, administrator):
    client = logged_in(UserFactory(role=role))
    kept = FleetImport.objects.create(asked_by=administrator)
    addresses = [reverse(name) for name in ADDRESSES]
    addresses += [f"/import/{kept.pk}/", "/import/template.zip"]
    addresses += [f"/import/{kept.pk}/progress/", f"/import/{kept.pk}/faults.csv"]
    for address in addresses:
        assert client.get(address).status_code == 403, address
    for action in ("/import/new/", f"/import/{kept.pk}/store/"):
        assert client.post(action).status_code == 403, action


def test_the_list_is_filtered_sorted_and_exported(administrator_client):
    sent(administrator_client, as_csv(fleet()))
    sent(administrator_client, as_csv(fleet(positions__1__head_m="high")))
    html = administrator_client.get(LIST, {"state": "faulty"}).content.decode()
    assert html.count('<tr class="data-table__row">') == 1
    response = administrator_client.get("/import/list.csv", {"sort": "-faults"})
    lines = b"".join(response.streaming_content).decode("utf-8-sig").splitlines()
    assert lines[0] == "Asked,State,By,Files,Faults"
    assert [line.rsplit(",", 1)[1] for line in lines[1:]] == ["1", "0"]


def test_the_list_takes_as_many_queries_for_many_imports(
    administrator_client, django_assert_num_queries, administrator
):
    def make(many):
        for _ in range(many):
            job = Job.objects.create(kind="fleet import")
            FleetImport.objects.create(asked_by=administrator, job=job)

    make(3)
    # Session, user, zone of the site, permissions twice, count, imports.
    with django_assert_num_queries(7):
        administrator_client.get(LIST)
    make(20)
    with django_assert_num_queries(7):
        administrator_client.get(LIST)


def test_the_templates_hold_every_column_and_pass_their_own_check(
    administrator_client,
):
    content = administrator_client.get("/import/template.xlsx").content
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert book.sheetnames == [*SHEETS, "notes"]
    for name, sheet in SHEETS.items():
        heading = [cell.value for cell in book[name][1]]
        assert heading == list(sheet.by_name)
    assert book["notes"].max_row == 1 + sum(len(s.columns) for s in SHEETS.values())
    content = administrator_client.get("/import/template.zip").content
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        assert packed.namelist() == [*(f"{s}.csv" for s in SHEETS), "columns.txt"]
        heading = packed.read("pumps.csv").decode("utf-8-sig").strip()
    assert heading == ",".join(SHEETS["pumps"].by_name)
    assert administrator_client.get("/import/template.exe").status_code == 404


def test_a_filled_template_is_taken(administrator_client):
    content = administrator_client.get("/import/template.xlsx").content
    book = openpyxl.load_workbook(io.BytesIO(content))
    page = book["positions"]
    for place, value in enumerate(["North works", "Acids", "P-1"], start=1):
        page.cell(2, place, value)
    packed = io.BytesIO()
    book.save(packed)
    packed.seek(0)
    kept = sent(administrator_client, [("fleet.xlsx", packed)])
    assert kept.faults == []
    assert kept.summary["sheets"]["positions"]["new"] == 1


def test_the_help_names_every_column(administrator_client):
    html = administrator_client.get("/import/columns/").content.decode()
    for sheet in SHEETS.values():
        for name in sheet.by_name:
            assert name in html
    assert "2.4 (Wear)" in html
