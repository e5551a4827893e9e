"""Small picture files made on the spot."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, TiffImagePlugin

GPS, ORIENTATION, MAKE = 0x8825, 0x0112, 0x010F


def picture_bytes(size=(40, 20), form="JPEG", colour="red", mode="RGB", **options):
    out = BytesIO()
    Image.new(mode, size, colour).save(out, form, **options)
    return out.getvalue()


def bytes_with_place():
    """Taken sideways by a camera that wrote its name and where it was."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif[MAKE] = "Camera"
    exif[GPS] = {1: "N", 2: (TiffImagePlugin.IFDRational(51), 30.0, 0.0)}
    return picture_bytes(exif=exif, comment=b"beside the pump")


def upload(data=None, name="pump.jpg"):
    return SimpleUploadedFile(name, data or picture_bytes(), "image/jpeg")
