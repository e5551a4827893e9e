"""No file of costs tells anything of a site that its reader may not see."""

import io

import pytest
from django.core.files.storage import default_storage
from openpyxl import load_workbook
from pypdf import PdfReader

from analytics.exports.cost_files import COST_FILES
from analytics.tasks import cost_file_order, workbook_path
from plant.models import Job
from tests.analytics.exports.nasty_ledger import QUESTION
from tests.conftest import logged_in
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory, UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
ADDRESSES = {
    "xlsx": "/costs/workbook/",
    "pdf": "/costs/report.pdf",
    "lines": "/costs/lines.csv",
    "table": "/costs/export.csv",
}
OWN, OTHER = "Own works", "Other works"
FOREIGN = (OTHER, "Z-900", "Foreign note", "7,654,321.00", "7654321")


@pytest.fixture
def sites(db):
    own, other = SiteFactory(name=OWN), SiteFactory(name=OTHER)
    for site, tag, note, amount in (
        (own, "P-1", "own note", 100),
        (other, "Z-900", "Foreign note", 7_654_321),
    ):
        position = PositionFactory(area=AreaFactory(site=site), tag=tag)
        CostLineFactory(
            repair=RepairFactory(position=position), amount=amount, note=note
        )
    return own, other


@pytest.fixture
def own_manager(sites):
    user = UserFactory(role="manager", sees_all_sites=False)
    user.sites.add(sites[0])
    return user


def text_of(answer, form):
    content = b"".join(answer.streaming_content)
    if form == "xlsx":
        cells = (
            str(cell)
            for sheet in load_workbook(io.BytesIO(content), data_only=True)
            for row in sheet.iter_rows(values_only=True)
            for cell in row
        )
        return " ".join(cells)
    if form == "pdf":
        return " ".join(p.extract_text() for p in PdfReader(io.BytesIO(content)).pages)
    return content.decode("utf-8-sig")


@pytest.mark.parametrize("form", ADDRESSES)
def test_a_manager_of_one_site_finds_nothing_of_another(own_manager, form):
    answer = logged_in(own_manager).get(ADDRESSES[form], QUESTION)
    text = text_of(answer, form)
    assert "P-1" in text
    assert not [word for word in FOREIGN if word in text]


@pytest.mark.parametrize("form", ADDRESSES)
def test_asking_for_the_other_site_or_its_area_is_refused(own_manager, sites, form):
    client = logged_in(own_manager)
    _, other = sites
    for asked in ({"site": other.pk}, {"area": other.areas.get().pk}):
        answer = client.get(ADDRESSES[form], QUESTION | asked)
        assert answer.status_code == 400
        assert not [word for word in FOREIGN if word in answer.content.decode()]


@pytest.mark.parametrize("file", COST_FILES.values(), ids=list(COST_FILES))
def test_the_job_of_another_person_is_not_found_by_its_number(
    own_manager, manager, sites, file
):
    job = cost_file_order(file, by=manager, question=QUESTION, lines=2)
    job.refresh_from_db()
    assert job.state == Job.State.DONE
    for tail in ("", "file/"):
        address = f"/costs/workbook/{job.pk}/{tail}"
        assert logged_in(own_manager).get(address).status_code == 404
        assert logged_in(manager).get(address).status_code == 200
    default_storage.delete(workbook_path(job))


@pytest.mark.parametrize("file", COST_FILES.values(), ids=list(COST_FILES))
def test_a_background_file_holds_what_its_reader_may_see(own_manager, file):
    """The worker asks the same question as the same person."""
    job = cost_file_order(file, by=own_manager, question=QUESTION, lines=1)
    answer = logged_in(own_manager).get(f"/costs/workbook/{job.pk}/file/")
    text = text_of(answer, file.ending)
    assert "P-1" in text
    assert not [word for word in FOREIGN if word in text]
    assert f".{file.ending}" in answer["Content-Disposition"]
    default_storage.delete(workbook_path(job))


def test_a_file_is_not_for_a_job_of_another_kind(manager):
    job = Job.objects.create(kind="import", asked_by=manager, state=Job.State.DONE)
    address = f"/costs/workbook/{job.pk}/file/"
    assert logged_in(manager).get(address).status_code == 404
