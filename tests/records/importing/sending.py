"""Sends files through the Import page, as a browser does."""

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile

from records.models import FleetImport

LIST = "/import/"
CHOICES = {
    "separator": "auto",
    "decimal": "auto",
    "date_order": "iso",
    "encoding": "utf-8",
}


def send(client, files, **choices):
    sheets = [SimpleUploadedFile(name, content.read()) for name, content in files]
    return client.post("/import/new/", {**CHOICES, **choices, "sheets": sheets})


def sent(client, files, **choices):
    """The import that was made from these files."""
    response = send(client, files, **choices)
    assert response.status_code == 302, response.content.decode()
    return FleetImport.objects.get(pk=response.url.strip("/").split("/")[-1])


def page(client, kept):
    response = client.get(f"/import/{kept.pk}/")
    assert response.status_code == 200
    return response.content.decode()


def kept_files():
    return default_storage.listdir("imports")[1]
