"""Where questions of tablets are seen, and by whom."""

from django.urls import reverse

from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.records.tablet.payloads import (
    question_of,
    seal_swap,
    send,
)

QUERIES_OF_THE_LIST = 8


def test_open_questions_show_on_the_repairs_page(
    fitter_client, manager_client, fitter, here, same_job
):
    link = reverse("records:entry_questions").encode()
    page = reverse("records:repair_list")
    assert link not in fitter_client.get(page).content
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    assert link in fitter_client.get(page).content
    assert link not in manager_client.get(page).content
    listed = fitter_client.get(reverse("records:entry_questions"))
    assert reverse("records:entry_question", args=[entry.pk]).encode() in listed.content


def test_the_list_takes_as_many_queries_for_two_as_for_one(
    fitter_client, fitter, here, same_job, django_assert_num_queries
):
    url = reverse("records:entry_questions")
    question_of(send(fitter_client, seal_swap(here, fitter)))
    fitter_client.get(url)
    with django_assert_num_queries(QUERIES_OF_THE_LIST):
        fitter_client.get(url)
    question_of(send(fitter_client, seal_swap(here, fitter)))
    with django_assert_num_queries(QUERIES_OF_THE_LIST):
        fitter_client.get(url)


def test_a_question_of_another_site_is_not_found(fitter_client, fitter, here, same_job):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    stranger = UserFactory(role="planner", sees_all_sites=False)
    url = reverse("records:entry_question", args=[entry.pk])
    assert logged_in(stranger).get(url).status_code == 404
