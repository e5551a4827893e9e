"""Models and migrations agree."""

from django.core.management import call_command


def test_no_model_change_is_without_its_migration(db):
    # Exits with an error, naming the change, when one is missing.
    call_command("makemigrations", check=True, dry_run=True, verbosity=1)
