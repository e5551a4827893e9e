"""How often a process that serves pages looks for objects that refer to each other."""

import gc

# Pages of large fleets make tens of thousands of rows, nearly all of them freed by
# their count of references; looking after every 700 took a seventh of the time.
NEW_OBJECTS = 50_000
YOUNGER_SEARCHES = 20


def search_seldom() -> None:
    """Search less often, and never again what was loaded by now: it stays anyway.

    Before processes are forked this also keeps what they share shared.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(NEW_OBJECTS, YOUNGER_SEARCHES, YOUNGER_SEARCHES)
