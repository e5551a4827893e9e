"""The longest files begin first, so that no worker waits for another at the end.

`make test` gives each file to one worker, in the order of collection. Most other files
take a few seconds, and the last folders hold none but such.
"""

LONGEST = (
    "tests/pages/every/test_every_page.py",
    "tests/pages/test_permission_matrix.py",
    "tests/pages/test_tablet_form.py",
    "tests/pages/test_tablet_faults.py",
    "tests/pages/test_tablet_offline.py",
    "tests/pages/test_engineers_hour.py",
    "tests/pages/test_upgrade_journey.py",
    "tests/pages/every/test_demo_story.py",
    "tests/config/test_serve.py",
    "tests/test_plugin_requirements.py",
)


def pytest_collection_modifyitems(items):
    place = {name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.nodeid.split("::")[0], len(LONGEST)))
