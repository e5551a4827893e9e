"""Background tasks of the repair log; each calls the function that does the work."""

from django_tasks import task

from records.importing import jobs


@task()
def fleet_import_check(import_pk: int) -> None:
    jobs.import_check(import_pk)


@task()
def fleet_import_store(import_pk: int, user_pk: int) -> None:
    jobs.import_store(import_pk, user_pk)
