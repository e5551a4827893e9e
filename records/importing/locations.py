"""The words for where a seal or bearing stands, and the place each one means."""

from plant.choices import LOCATIONS, Component, Location
from records.importing.vocabulary import plain

DRIVE_END = ("drive end", "de")
OTHER_END = ("non drive end", "nde")
SINGLE_END = ("single", "single end", "")
LAYERS = {"inner": 0, "": 0, "outer": 1}
PLACES = {
    SINGLE_END: (Location.SEAL_SINGLE_INNER, Location.SEAL_SINGLE_OUTER),
    DRIVE_END: (Location.SEAL_DE_INNER, Location.SEAL_DE_OUTER),
    OTHER_END: (Location.SEAL_NDE_INNER, Location.SEAL_NDE_OUTER),
}
RADIAL = ("", "radial", "radial bearing")
RIGHT = {
    Component.SEAL: "Allowed are: single; drive end; non-drive end; each with inner "
    "or outer behind it where two seals stand there.",
    Component.RADIAL: "Allowed are: drive end; non-drive end; radial.",
    Component.THRUST: "Allowed is: thrust.",
}


def _words() -> dict[str, dict[str, Location]]:
    words: dict[str, dict[str, Location]] = {
        component: {
            plain(word): place
            for place in places
            for word in (str(place.value), str(place.label))
        }
        for component, places in LOCATIONS.items()
    }
    for ends, places in PLACES.items():
        for end in ends:
            for layer, place in LAYERS.items():
                words[Component.SEAL][plain(f"{end} {layer}")] = places[place]
                words[Component.SEAL][plain(f"{layer} {end}")] = places[place]
    for ends, bearing in (
        (DRIVE_END, Location.RADIAL_DE),
        (OTHER_END, Location.RADIAL_NDE),
    ):
        for end in ends:
            words[Component.RADIAL][end] = bearing
            words[Component.RADIAL][f"radial {end}"] = bearing
    for word in ("", "thrust", "thrust bearing", *DRIVE_END, *OTHER_END):
        words[Component.THRUST][word] = Location.THRUST
    return words


WORDS = _words()


def location_of(component: str, words: str, design: str) -> Location | None:
    """The place; None when the words name none of this component.

    Plain "radial" is the bearing next to the impeller on an overhung pump, away from
    the driver, and the one next to the driver on any other.
    """
    word = plain(words)
    if component == Component.RADIAL and word in RADIAL:
        overhung = plain(design).startswith("overhung")
        return Location.RADIAL_NDE if overhung else Location.RADIAL_DE
    return WORDS[component].get(word)
