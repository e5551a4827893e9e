"""Every figure of a review is the same on its page, in its files and in the letter."""

import csv
import html
import re
from datetime import date
from io import BytesIO

import pytest
from django.core.management import call_command
from django.urls import reverse
from pypdf import PdfReader

from analytics.reports.reviews.current import sheet_for
from analytics.services.reviews import review_note
from tests.analytics.reports.reviews.conftest import closed
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.plant import UserFactory
from tests.factories.records import CostLineFactory


def flat(text):
    return " ".join(text.split())


def text_of_page(answer):
    return flat(html.unescape(re.sub("<[^>]+>", " ", answer.content.decode())))


def text_of_pdf(content):
    return flat(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages)
    )


@pytest.fixture
def frozen(review, engineer, site):
    """Closed with a note, an action, costs, and flagged and costly units."""
    review_note(by=engineer, review=review, note="Words of the month.")
    ActionFactory(site=site, title="Larger bearing", due_on=date(2025, 9, 1))
    for repair in site.repairs.filter(position__tag__in=["P-00", "P-07", "P-09"]):
        CostLineFactory(repair=repair, amount=1234)
    return closed(engineer, review)


def test_page_paper_export_and_letter_say_the_same(frozen, settings, mailoutbox):
    settings.EMAIL_HOST = "mail.plant.example"
    reader = UserFactory(role="manager", email="reader@plant.example")
    sheet = sheet_for(frozen, reader)
    browser = logged_in(reader)
    page = text_of_page(browser.get(frozen.get_absolute_url()))
    answer = browser.get(reverse("analytics:review_pdf", args=[frozen.pk]))
    paper = text_of_pdf(answer.content)
    call_command("send_review", "2025-03", "--to", reader.username)
    letter = mailoutbox[0]
    assert letter.to == ["reader@plant.example"]
    assert text_of_pdf(letter.attachments[0].content) == paper
    body = flat(letter.body)
    assert len(sheet.headline) >= 3
    for words in [
        sheet.title,
        sheet.subtitle,
        sheet.state,
        sheet.note,
        *sheet.headline,
    ]:
        for where in (page, paper, body + letter.subject):
            assert flat(words) in where
    assert len(sheet.costs) == 1
    assert flat(sheet.costs[0]) in body
    for words in [*sheet.costs, *sheet.counting]:
        assert flat(words) in page
        assert flat(words) in paper


def test_every_unit_row_is_the_same_everywhere(frozen, settings, mailoutbox):
    settings.EMAIL_HOST = "mail.plant.example"
    reader = UserFactory(role="manager", email="reader@plant.example")
    units = sheet_for(frozen, reader).units
    browser = logged_in(reader)
    shown = browser.get(frozen.get_absolute_url()).context["unit_rows"]
    answer = browser.get(reverse("analytics:review_pdf", args=[frozen.pk]))
    paper = text_of_pdf(answer.content)
    call_command("send_review", "2025-03", "--to", reader.username)
    body = flat(mailoutbox[0].body)
    answer = browser.get(reverse("analytics:review_export", args=[frozen.pk]))
    text = answer.getvalue().decode("utf-8-sig")
    exported = list(csv.DictReader(text.splitlines()))
    assert len(units) == len(shown) == len(exported) >= 3
    for unit, row, line in zip(units, shown, exported, strict=True):
        name, repairs, rate, why, decided = (cell["text"] for cell in row)
        spread = row[2]["note"]
        assert (line["unit"], line["repairs"]) == (name, repairs)
        assert (line["events_a_year"], line["interval"]) == (rate, spread)
        assert (line["why"], line["decided"]) == (why, decided)
        on_paper = f"{name} {unit.place} {repairs} {rate} {spread} {why} {decided}"
        assert flat(on_paper) in paper
        in_letter = f"{rate} events a year (90 % interval {spread}). {why} -> {decided}"
        assert flat(f"{name}: repairs {repairs}, {in_letter}") in body
        assert str(unit.figures["repairs"]) == repairs
        assert f"{unit.figures['rate']:.2f}" == rate


def test_every_action_is_the_same_everywhere(frozen, engineer, settings, mailoutbox):
    settings.EMAIL_HOST = "mail.plant.example"
    reader = UserFactory(role="manager", email="reader@plant.example")
    browser = logged_in(reader)
    rows = browser.get(frozen.get_absolute_url()).context["action_rows"]
    answer = browser.get(reverse("analytics:review_pdf", args=[frozen.pk]))
    paper = text_of_pdf(answer.content)
    call_command("send_review", "2025-03", "--to", reader.username)
    [texts] = [[cell["text"] for cell in row] for row in rows]
    assert texts[0] == "Larger bearing"
    assert " ".join(texts) in paper
    assert ", ".join(texts) in flat(mailoutbox[0].body)


def test_the_line_on_the_page_is_the_one_frozen(frozen, engineer_client):
    shown = engineer_client.get(frozen.get_absolute_url()).context["rolling_rows"]
    kept = frozen.figures["rolling"]
    assert len(kept) >= 12
    for point, (end, value, _) in zip(reversed(kept), shown, strict=True):
        assert end["text"] == point["end"]
        number = point["value"]
        assert value["text"] == (f"{number:.1f}" if number else "–")
