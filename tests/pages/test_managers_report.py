"""The manager before a meeting: from log-in to the three files, read back."""

import csv
from decimal import Decimal

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from plant.models import User
from tests.analytics.exports.nasty_ledger import nasty_ledger
from tests.factories.plant import UserFactory

pytestmark = pytest.mark.browser
PERIOD = {"From": "2024-01-01", "To": "2024-12-31"}
PASSWORD = "a long enough one"


@pytest.fixture
def manager_with_password(transactional_db):
    user = UserFactory(username="meeting", role="manager")
    user.set_password(PASSWORD)
    user.save()
    nasty_ledger()
    return User.objects.get(pk=user.pk)


def log_in(page, user):
    page.goto("/login/")
    page.get_by_label("Username").fill(user.username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()
    page.get_by_role("heading", level=1).wait_for()


def costs_of_the_year(page):
    page.goto("/costs/")
    for label, day in PERIOD.items():
        page.get_by_label(label, exact=True).fill(day)
    page.get_by_label("To", exact=True).press("Enter")
    page.wait_for_url("**start=2024-01-01**")


def taken(page, name, folder):
    with page.expect_download() as download:
        page.get_by_role("link", name=name, exact=True).click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def shown_totals(page):
    """Repair cost, lost production, environment of EUR as the table's last row."""
    cells = page.locator("tfoot tr").last.locator("th, td").all_inner_texts()
    return [amount.replace(",", "").replace("−", "-").strip() for amount in cells]


def test_from_log_in_to_workbook_csv_and_pdf(page, manager_with_password, tmp_path):
    log_in(page, manager_with_password)
    costs_of_the_year(page)
    shown = shown_totals(page)[-6:]
    amounts = [Decimal(cell.splitlines()[0]) for cell in shown]
    assert amounts[0] > 0

    workbook = load_workbook(taken(page, "Workbook", tmp_path), data_only=True)
    summary = {
        (row[0], row[1]): row[4]
        for row in workbook["Summary"].iter_rows(values_only=True)
        if row[1] in ("EUR", "USD") and row[0] not in (None, "Repairs")
    }
    parts = ("Repair cost", "Lost production", "Environment and safety")
    places = [(part, unit) for unit in ("EUR", "USD") for part in parts]
    sheet = list(workbook["By position and failure mode"].iter_rows(values_only=True))
    assert [round(Decimal(str(x)), 2) for x in sheet[-3][3::2]] == amounts
    assert set(places) <= set(summary)

    lines = taken(page, "CSV of all cost lines", tmp_path)
    with lines.open(encoding="utf-8-sig", newline="") as opened:
        rows = list(csv.DictReader(opened))
    of_lines = [
        sum(
            Decimal(row["Amount counted"])
            for row in rows
            if (row["Added up as"], row["Counted in"]) == place
        )
        for place in places
    ]
    assert of_lines == amounts

    pdf = PdfReader(taken(page, "PDF", tmp_path))
    assert 2 <= len(pdf.pages) <= 4
    text = " ".join(page.extract_text() for page in pdf.pages)
    assert all(f"{amount:,}" in text for amount in amounts)
