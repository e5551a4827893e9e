"""Photos added on a repair's page, and the reason that withdraws one."""

from django import forms

from records.forms.imports import SeveralFiles, SeveralFilesField
from records.services.photos import CAPTION_LENGTH, MOST_BYTES, REASON_LENGTH

MOST_AT_ONCE = 10
ACCEPT = "image/jpeg,image/png,image/webp"


class PhotosForm(forms.Form):
    pictures = SeveralFilesField(
        label="Photos",
        help_text=f"Up to {MOST_AT_ONCE} at once, each up to "
        f"{MOST_BYTES // 2**20} MB: JPEG, PNG or WebP. Place and time that the camera "
        "wrote into them are not kept.",
        widget=SeveralFiles(attrs={"accept": ACCEPT}),
    )
    caption = forms.CharField(
        label="What they show", required=False, max_length=CAPTION_LENGTH
    )

    def clean_pictures(self) -> list[object]:
        files: list[object] = self.cleaned_data["pictures"]
        if len(files) > MOST_AT_ONCE:
            raise forms.ValidationError(f"No more than {MOST_AT_ONCE} at once.")
        return files


class WithdrawForm(forms.Form):
    reason = forms.CharField(
        label="Reason",
        max_length=REASON_LENGTH,
        help_text="It stays with the photo, beside your name.",
    )
