"""What a scanner or a person hands over: a tag's code, or a refusal in words."""

import re
from collections.abc import Collection
from urllib.parse import SplitResult, urlsplit

from django.core.exceptions import ValidationError

from plant.tags.codes import TagCode, code_read

LONGEST = 300
_ENDING = re.compile(r"(?:^|/)([tp]/[0-9]+[a-z])/?$", re.IGNORECASE | re.ASCII)


def tag_read(typed: str, hosts: Collection[str]) -> TagCode:
    """The code in what was typed or scanned: `T 117K` or the whole address.

    Raises
    ------
    ValidationError
        With a sentence, when it is no code, a mistyped one, or an address of a host
        that is not one of `hosts`.
    """
    typed = typed.strip()[:LONGEST]
    if "/" in typed and code_read(typed) is None:
        return _from_address(typed, hosts)
    return _valid(typed, typed)


def _from_address(typed: str, hosts: Collection[str]) -> TagCode:
    parts = _split(typed)
    if parts.scheme not in ("http", "https") or not _is_own(parts, hosts):
        raise ValidationError(
            f"This code leads to {(parts.netloc or typed)[:80]}, not to this logbook. "
            "Only tags that this logbook printed are read here."
        )
    ending = _ENDING.search(parts.path)
    return _valid(ending[1] if ending else "", typed)


def _split(typed: str) -> SplitResult:
    try:
        return urlsplit(typed if "://" in typed else f"https://{typed}")
    except ValueError:
        return SplitResult("", typed, "", "", "")


def _is_own(parts: SplitResult, hosts: Collection[str]) -> bool:
    """With the port as given, or a bare name of ours under any port."""
    names = {host.lower() for host in hosts}
    return parts.netloc.lower() in names or (
        parts.username is None and (parts.hostname or "") in names
    )


def _valid(code: str, typed: str) -> TagCode:
    read = code_read(code)
    if read is None:
        raise ValidationError(
            f"{typed[:60] or 'Nothing'} is no code of a tag. A code looks like "
            "T 117H: a letter, digits and a letter. Check it against the tag."
        )
    return read
