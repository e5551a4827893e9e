"""The Import pages: send, look, store; faults to read and to download."""

import io
from datetime import timedelta

import pytest
from django.utils import timezone

from plant.models import Job, Position
from records.importing import jobs, tables
from records.models import FleetImport, Repair
from tests.records.importing.sending import LIST, kept_files, page, send, sent
from tests.records.importing.sheets import as_csv, as_xlsx, fleet

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def test_sound_files_are_previewed_then_stored(administrator, administrator_client):
    kept = sent(administrator_client, as_csv(fleet()))
    assert kept.state == FleetImport.State.READY
    assert not Position.objects.exists()
    html = page(administrator_client, kept)
    assert "No faults. Nothing is stored yet" in html
    assert "P-101A" in html
    assert "rows that would be new or changed" in html
    assert len(kept_files()) == 4

    response = administrator_client.post(f"/import/{kept.pk}/store/")
    assert response.url == f"/import/{kept.pk}/"
    kept.refresh_from_db()
    assert kept.state == FleetImport.State.STORED
    assert Position.objects.count() == 2
    assert Repair.objects.get().signed_by == administrator
    assert [site.name for site in kept.sites.all()] == ["North works"]
    html = page(administrator_client, kept)
    assert "What was stored" in html
    assert "rows that were new or changed" in html
    assert "North works was not known before" in html
    assert "positions.csv, pumps.csv, components.csv, repairs.csv" in html
    # Kept only until they are stored.
    assert kept.files.count() == 0


def test_files_are_removed_once_the_import_is_committed(
    administrator_client, django_capture_on_commit_callbacks
):
    kept = sent(administrator_client, as_csv(fleet()))
    with django_capture_on_commit_callbacks(execute=True):
        administrator_client.post(f"/import/{kept.pk}/store/")
    assert kept_files() == []


def test_the_page_says_what_an_import_needs(administrator_client):
    html = administrator_client.get("/import/").content.decode()
    assert "Separator between cells" in html
    assert "The background worker does the work: it must be running." in html
    assert "column records_from of the positions sheet" in html


def test_storing_twice_is_refused(administrator_client):
    kept = sent(administrator_client, as_xlsx(fleet()))
    administrator_client.post(f"/import/{kept.pk}/store/")
    response = administrator_client.post(f"/import/{kept.pk}/store/", follow=True)
    assert "This import is not waiting to be stored any more." in (
        response.content.decode()
    )
    assert Repair.objects.count() == 1


def test_the_same_files_again_offer_nothing_to_store(administrator_client):
    kept = sent(administrator_client, as_csv(fleet()))
    administrator_client.post(f"/import/{kept.pk}/store/")
    again = sent(administrator_client, as_csv(fleet()))
    html = page(administrator_client, again)
    assert "nothing to store: the logbook holds all of this already" in html
    assert "Store all of it" not in html


def test_faults_are_listed_and_downloaded(administrator_client):
    tables = fleet(positions__1__head_m="=high", repairs__1__item="wheel")
    kept = sent(administrator_client, as_csv(tables))
    assert (kept.state, kept.fault_count) == (FleetImport.State.FAULTY, 2)
    html = page(administrator_client, kept)
    assert "2 faults: nothing was stored." in html
    assert "Not a number: write it as 12.5." in html
    assert "Store all of it" not in html
    assert administrator_client.post(f"/import/{kept.pk}/store/").status_code == 302
    assert not Position.objects.exists()
    response = administrator_client.get(f"/import/{kept.pk}/faults.csv")
    lines = b"".join(response.streaming_content).decode("utf-8-sig").splitlines()
    assert lines[0] == "Sheet,Row,Column,Value,What would be right"
    # A spreadsheet must not run the value as a formula.
    assert lines[1] == "positions,2,head_m,'=high,Not a number: write it as 12.5."


def test_many_faults_are_paged_and_counted_by_column(administrator_client):
    tables = fleet()
    line = tables["positions"][1]
    for number in range(1500):
        tables["positions"].append([*line[:2], f"P-{number}", *line[3:5], "2", ""])
    kept = sent(administrator_client, as_csv(tables))
    html = page(administrator_client, kept)
    assert "1,500 faults: nothing was stored." in html
    assert "The first 1,000 are listed." in html
    assert html.count("Write a share between 0 and 1") == 100
    assert "running_share" in html
    assert kept.summary["tally"] == [["positions", "running_share", 1500]]


def test_storing_checks_again_and_stores_nothing_when_the_register_changed(
    administrator_client,
):
    kept = sent(administrator_client, as_csv(fleet()))
    tables = fleet(positions__1__tag="P-7", pumps__1__tag="P-7", repairs__1__tag="P-7")
    other = sent(administrator_client, as_csv(tables))
    administrator_client.post(f"/import/{other.pk}/store/")
    administrator_client.post(f"/import/{kept.pk}/store/")
    kept.refresh_from_db()
    assert kept.state == FleetImport.State.FAULTY
    assert "The register has it at P-7 from that time on." in page(
        administrator_client, kept
    )
    assert not Position.objects.filter(tag="P-101A").exists()


def test_an_unexpected_error_is_told_in_words_and_logged(
    administrator_client, monkeypatch, caplog
):
    kept = sent(administrator_client, as_csv(fleet()))
    monkeypatch.setattr(jobs, "store_fleet", lambda *a, **k: 1 / 0)
    administrator_client.post(f"/import/{kept.pk}/store/")
    kept.refresh_from_db()
    assert kept.state == FleetImport.State.FAILED
    assert kept.job.state == Job.State.FAILED
    html = page(administrator_client, kept)
    assert "Something went wrong that this program did not expect." in html
    assert "ZeroDivisionError" not in html
    assert "ZeroDivisionError" in caplog.text
    assert not Position.objects.exists()


def test_progress_is_shown_until_it_is_over(administrator, administrator_client):
    job = Job.objects.create(kind="fleet import", asked_by=administrator)
    kept = FleetImport.objects.create(asked_by=administrator, job=job)
    address = f"/import/{kept.pk}/progress/"
    html = administrator_client.get(address).content.decode()
    assert "Waiting for the background worker" in html
    assert f'hx-get="{address}"' in html
    Job.objects.update(
        state=Job.State.RUNNING, done=250, total=1000, message="Checking repairs"
    )
    html = administrator_client.get(address).content.decode()
    assert 'value="25"' in html
    assert "Checking repairs: 250 of 1,000 rows." in html
    FleetImport.objects.update(state=FleetImport.State.READY)
    response = administrator_client.get(address)
    assert response["HX-Refresh"] == "true"
    assert "hx-get" not in response.content.decode()


def test_progress_of_the_check_is_written_to_the_job(administrator_client, monkeypatch):
    monkeypatch.setattr(jobs, "SECONDS_BETWEEN_UPDATES", 0.0)
    tables = fleet()
    line = tables["positions"][1]
    for number in range(1100):
        tables["positions"].append([*line[:2], f"P-{number}", *line[3:]])
    kept = sent(administrator_client, as_csv(tables))
    assert (kept.job.done, kept.job.total) == (1000, 1107)
    assert kept.job.state == Job.State.DONE


def test_an_interrupted_import_says_so_and_may_be_forgotten(
    administrator, administrator_client
):
    job = Job.objects.create(kind="fleet import", state=Job.State.RUNNING)
    kept = FleetImport.objects.create(
        asked_by=administrator, job=job, state=FleetImport.State.STORING
    )
    forget = f"/import/{kept.pk}/forget/"
    assert "Being stored, all at once" in page(administrator_client, kept)
    administrator_client.post(forget)
    assert FleetImport.objects.exists()
    Job.objects.update(changed_at=timezone.now() - timedelta(hours=1))
    html = page(administrator_client, kept)
    assert "The background worker stopped in the middle." in html
    administrator_client.post(forget)
    assert not FleetImport.objects.exists()


@pytest.mark.parametrize(
    ("minutes", "rows", "is_interrupted"),
    [(2, 0, False), (4, 0, True), (4, 100_000, False), (8, 100_000, True)],
)
def test_silence_is_judged_by_how_much_is_written(
    administrator, minutes, rows, is_interrupted
):
    job = Job.objects.create(kind="fleet import", state=Job.State.RUNNING, total=rows)
    Job.objects.update(changed_at=timezone.now() - timedelta(minutes=minutes))
    job.refresh_from_db()
    kept = FleetImport(asked_by=administrator, job=job, state=FleetImport.State.STORING)
    assert tables.is_interrupted(kept) is is_interrupted


@pytest.mark.parametrize(
    ("files", "sentence"),
    [
        ([], "This field is required."),
        ([("fleet.ods", b"PK")], "fleet.ods: only files ending in .csv or .xlsx"),
        ([("pumps.csv", b"")], "The submitted file is empty."),
        (
            [("a.xlsx", b"PK"), ("pumps.csv", b"x")],
            "Send up to 4 CSV files, or one workbook alone.",
        ),
        (
            [(f"{n}.csv", b"x") for n in range(5)],
            "Send up to 4 CSV files, or one workbook alone.",
        ),
    ],
)
def test_what_cannot_be_sent_is_told_beside_the_field(
    administrator_client, files, sentence
):
    response = send(
        administrator_client, [(name, io.BytesIO(content)) for name, content in files]
    )
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not FleetImport.objects.exists()


def test_a_file_over_the_limit_is_not_kept(administrator_client, settings):
    settings.IMPORT_FILE_LIMIT_BYTES = 1024 * 1024
    files = [("pumps.csv", io.BytesIO(b"x" * (1024 * 1024 + 1)))]
    response = send(administrator_client, files)
    assert response.status_code == 422
    assert "pumps.csv is larger than 1 MB" in response.content.decode()


def test_an_import_is_forgotten_with_its_files(
    administrator_client, django_capture_on_commit_callbacks
):
    kept = sent(administrator_client, as_csv(fleet()))
    with django_capture_on_commit_callbacks(execute=True):
        response = administrator_client.post(f"/import/{kept.pk}/forget/")
    assert response.url == LIST
    assert not FleetImport.objects.exists()
    assert kept_files() == []


def test_a_stored_import_is_not_forgotten(administrator_client):
    kept = sent(administrator_client, as_csv(fleet()))
    administrator_client.post(f"/import/{kept.pk}/store/")
    response = administrator_client.post(f"/import/{kept.pk}/forget/", follow=True)
    assert "An import that is stored or under way stays." in response.content.decode()
    assert FleetImport.objects.count() == 1
